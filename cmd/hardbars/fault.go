package main

import (
	"fmt"
	"path"
	"runtime"
	"strings"
)

// guarded does a piece of work on a score. A fault of this program in it becomes
// an error of one sentence, which says where in the program it lies.
func guarded(score string, work func() error) (err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("%s: a fault in hardbars: %v (%s); please report it with the score", named(score), fault, faultyLine())
		}
	}()
	return work()
}

// faultyLine is the line of this program that panicked: "engrave/flag.go:48".
// It is called while the panic is being recovered.
func faultyLine() string {
	callers := make([]uintptr, 64)
	frames := runtime.CallersFrames(callers[:runtime.Callers(1, callers)])
	panicked := false
	for {
		f, more := frames.Next()
		if panicked && !strings.HasPrefix(f.Function, "runtime.") {
			return fmt.Sprintf("%s/%s:%d", path.Base(path.Dir(f.File)), path.Base(f.File), f.Line)
		}
		panicked = panicked || f.Function == "runtime.gopanic"
		if !more {
			return "at an unknown place"
		}
	}
}

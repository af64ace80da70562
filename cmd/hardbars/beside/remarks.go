package beside

import (
	"errors"
	"os"
	"strings"

	"hardbars/annotate/remarks"
)

// ReadRemarks reads a page of remarks. The error names the file and each line
// that is not understood; it is fs.ErrNotExist where there is no file.
func ReadRemarks(path string) (*remarks.Page, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	page, err := remarks.Parse(data)
	if err != nil {
		return nil, InFile(path, err)
	}
	return page, nil
}

// ChangeRemarks gives a page of remarks, empty where there is none yet, to a
// function and writes what it gives back. Others who do the same wait for it.
// Where the function fails nothing is written.
func ChangeRemarks(path string, change func(page []byte) ([]byte, error)) error {
	return changeFile("the page of remarks", path, change)
}

// InFile puts the name of a file before each line of an error.
func InFile(name string, err error) error {
	return errors.New(name + ": " + strings.ReplaceAll(err.Error(), "\n", "\n"+name+": "))
}

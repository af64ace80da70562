package e2e

import (
	"bufio"
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"os/exec"
	"regexp"
	"testing"
	"time"

	"github.com/gobwas/ws"
	"github.com/gobwas/ws/wsutil"
)

// fox is a Firefox that is told what to do by WebDriver BiDi (W3C draft).
type fox struct {
	conn    net.Conn
	number  int
	context string
}

// startFox starts Debian's Firefox without a window.
func startFox(t *testing.T) (*fox, error) {
	cmd := exec.Command("firefox-esr", "--headless", "--remote-debugging-port", "0", "--profile", t.TempDir(), "--no-remote", "--width", "820", "--height", "1180")
	cmd.Env = append(cmd.Environ(), "HOME="+t.TempDir(), "MOZ_DISABLE_CONTENT_SANDBOX=1")
	out, err := cmd.StderrPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, fmt.Errorf("Debian's firefox-esr is not there: %w", err)
	}
	t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait() })
	told := make(chan string, 1)
	go func() {
		lines := bufio.NewScanner(out)
		for lines.Scan() {
			if at := regexp.MustCompile(`ws://\S+`).FindString(lines.Text()); at != "" {
				told <- at
			}
		}
	}()
	var at string
	select {
	case at = <-told:
	case <-time.After(2 * time.Minute):
		return nil, errors.New("Firefox does not say where it listens")
	}
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	conn, _, _, err := ws.Dial(ctx, at+"/session")
	if err != nil {
		return nil, err
	}
	t.Cleanup(func() { conn.Close() })
	f := &fox{conn: conn}
	if _, err := f.ask("session.new", map[string]any{"capabilities": map[string]any{}}); err != nil {
		return nil, err
	}
	answer, err := f.ask("browsingContext.getTree", map[string]any{})
	if err != nil {
		return nil, err
	}
	var tree struct {
		Contexts []struct{ Context string }
	}
	if err := json.Unmarshal(answer, &tree); err != nil || len(tree.Contexts) == 0 {
		return nil, fmt.Errorf("no window: %s, %v", answer, err)
	}
	f.context = tree.Contexts[0].Context
	return f, nil
}

// ask sends a command and waits for its answer.
func (f *fox) ask(method string, params any) (json.RawMessage, error) {
	f.number++
	data, err := json.Marshal(map[string]any{"id": f.number, "method": method, "params": params})
	if err != nil {
		return nil, err
	}
	if err := wsutil.WriteClientText(f.conn, data); err != nil {
		return nil, err
	}
	f.conn.SetReadDeadline(time.Now().Add(time.Minute))
	for {
		data, err := wsutil.ReadServerText(f.conn)
		if err != nil {
			return nil, err
		}
		var answer struct {
			ID             int
			Result         json.RawMessage
			Error, Message string
		}
		if err := json.Unmarshal(data, &answer); err != nil {
			return nil, err
		}
		if answer.ID == f.number {
			if answer.Error != "" {
				return nil, errors.New(answer.Error + ": " + answer.Message)
			}
			return answer.Result, nil
		}
	}
}

func (f *fox) open(url string) error {
	_, err := f.ask("browsingContext.navigate", map[string]any{"context": f.context, "url": url, "wait": "complete"})
	return err
}

// is reports whether an expression is true on the page.
func (f *fox) is(expression string) (bool, error) {
	answer, err := f.ask("script.evaluate", map[string]any{"expression": expression, "target": map[string]any{"context": f.context}, "awaitPromise": true, "userActivation": true})
	if err != nil {
		return false, err
	}
	var value struct {
		Type             string
		Result           struct{ Value any }
		ExceptionDetails struct{ Text string }
	}
	if err := json.Unmarshal(answer, &value); err != nil {
		return false, err
	}
	if value.Type == "exception" {
		return false, errors.New(value.ExceptionDetails.Text)
	}
	return value.Result.Value == true, nil
}

func (f *fox) shot() ([]byte, error) {
	answer, err := f.ask("browsingContext.captureScreenshot", map[string]any{"context": f.context})
	if err != nil {
		return nil, err
	}
	var picture struct{ Data string }
	if err := json.Unmarshal(answer, &picture); err != nil {
		return nil, err
	}
	return base64.StdEncoding.DecodeString(picture.Data)
}

// Package replicas runs the service as separate processes, for tests that end them in
// every possible way and tools that measure them.
package replicas

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
)

// Build builds the service's program in a folder and gives its path.
func Build(dir string) (string, error) { return Program(dir, "./server") }

// Program builds a program of this module in a folder and gives its path. Go caches what
// go run links, but not what go build links: so each is linked once, however many tests
// need it.
func Program(dir, source string) (string, error) {
	program := filepath.Join(dir, path.Base(source))
	// In this module, whichever module the test belongs to.
	root, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/ripwright/ripwright").Output()
	if err != nil {
		return "", fmt.Errorf("the service's module: %w", err)
	}
	c := exec.Command("go", "run", "-C", strings.TrimSpace(string(root)), "-trimpath", "-exec", "cp", source, program)
	if out, err := c.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return program, nil
}

// Replica is a running service.
type Replica struct {
	GRPC, HTTP string // where it serves
	Health     string // where it reports health; empty unless args set it

	cmd  *exec.Cmd
	read chan struct{} // closed once its log has ended

	mu  sync.Mutex
	log []string // its last lines
}

// mostLines is how many lines of a log are kept.
const mostLines = 1000

// Log gives the last lines that it wrote.
func (r *Replica) Log() []string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return slices.Clone(r.log)
}

func (r *Replica) note(line string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.log = append(r.log, line); len(r.log) > mostLines {
		r.log = slices.Delete(r.log, 0, mostLines/2)
	}
}

// Command is a run of the service's program. Settings in the caller's environment are not
// passed on.
func Command(program string, args ...string) *exec.Cmd {
	c := exec.Command(program, args...)
	c.Env = slices.DeleteFunc(os.Environ(), func(v string) bool { return strings.HasPrefix(v, "RIPWRIGHT_") })
	return c
}

// Launch starts the service on free loopback ports, unless args set others, and waits
// until it reports that it serves.
func Launch(program string, args ...string) (*Replica, error) {
	return Start(program, append([]string{"--grpc", "127.0.0.1:0", "--http", "127.0.0.1:0"}, args...)...)
}

// Start starts a program that reports where it serves as the service does, and waits until
// it has. Its standard input stays open until it or this process has ended, by which it
// can tell that this process has.
func Start(program string, args ...string) (*Replica, error) {
	r := &Replica{cmd: Command(program, args...), read: make(chan struct{})}
	log, err := r.cmd.StderrPipe()
	if err != nil {
		return nil, err
	}
	if _, err := r.cmd.StdinPipe(); err != nil {
		return nil, err
	}
	if err := r.cmd.Start(); err != nil {
		return nil, err
	}
	lines := bufio.NewScanner(log)
	for lines.Scan() {
		var l struct{ Msg, GRPC, HTTP, Health string }
		if json.Unmarshal(lines.Bytes(), &l) == nil && l.Msg == "serving" {
			r.GRPC, r.HTTP, r.Health = l.GRPC, l.HTTP, l.Health
			go func() {
				for lines.Scan() { // an unread log would fill the pipe
					r.note(lines.Text())
				}
				close(r.read)
			}()
			return r, nil
		}
	}
	return nil, errors.Join(errors.New("the program ended before it was ready"), r.cmd.Wait())
}

// PID is its process ID.
func (r *Replica) PID() int { return r.cmd.Process.Pid }

// Kill ends it like kill -9.
func (r *Replica) Kill() {
	_ = r.cmd.Process.Kill()
	<-r.read
	_ = r.cmd.Wait() // killed
}

// Drain asks it to end and waits until it has. The error is its exit status.
func (r *Replica) Drain() error {
	if err := r.Signal(syscall.SIGTERM); err != nil {
		return err
	}
	return r.Wait()
}

// Signal sends it a signal.
func (r *Replica) Signal(s os.Signal) error { return r.cmd.Process.Signal(s) }

// Wait waits until it has ended. The error is its exit status.
func (r *Replica) Wait() error {
	<-r.read
	return r.cmd.Wait()
}

// Pause suspends it, as if its machine hung.
func (r *Replica) Pause() { _ = r.cmd.Process.Signal(syscall.SIGSTOP) }

// Continue resumes it after Pause.
func (r *Replica) Continue() { _ = r.cmd.Process.Signal(syscall.SIGCONT) }

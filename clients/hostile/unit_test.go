package hostile

import (
	"encoding/binary"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"unsafe"

	"github.com/ripwright/ripwright/clients/internal/replicas"
	"github.com/ripwright/ripwright/proto/codec"
)

const (
	unit = "../../deploy/systemd/ripwright.service"
	// filterFile names the filter that this binary applies to itself before it becomes the
	// service; filtered names the service's program.
	filterFile = "TEST_FILTER"
	filtered   = "TEST_FILTERED"
)

func TestMain(m *testing.M) {
	codec.Register()
	if file := os.Getenv(filterFile); file != "" {
		err := become(file, os.Getenv(filtered))
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// become applies a filter, as in seccomp(2), and becomes the program.
func become(file, program string) error {
	code, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	runtime.LockOSThread()
	const setNoNewPrivs, seccompFilter = 38, 1
	if _, _, e := syscall.RawSyscall6(syscall.SYS_PRCTL, setNoNewPrivs, 1, 0, 0, 0, 0); e != 0 {
		return e
	}
	of := struct {
		n    uint16
		code *byte
	}{uint16(len(code) / 8), &code[0]}
	if _, _, e := syscall.RawSyscall(317, seccompFilter, 0, uintptr(unsafe.Pointer(&of))); e != 0 { // seccomp, on amd64
		return fmt.Errorf("seccomp: %w", e)
	}
	return syscall.Exec(program, append([]string{program}, os.Args[1:]...), append(os.Environ(), filterFile+"="))
}

// allowed gives the names of the system calls that the lines of a unit allow.
func allowed(t *testing.T, text string) map[string]bool {
	t.Helper()
	all := map[string]bool{}
	var put func(name string, on bool)
	put = func(name string, on bool) {
		if !strings.HasPrefix(name, "@") {
			if all[name] = on; !on {
				delete(all, name)
			}
			return
		}
		out, err := exec.Command("systemd-analyze", "syscall-filter", name).Output()
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(string(out), "\n")[1:] {
			if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
				put(line, on)
			}
		}
	}
	// What systemd itself always allows, so that programs can start and exit.
	put("@default", true)
	lines := regexp.MustCompile(`(?m)^SystemCallFilter=(.*)$`).FindAllStringSubmatch(text, -1)
	if len(lines) == 0 {
		t.Fatal("the unit has no filter")
	}
	for _, l := range lines {
		list, off := strings.CutPrefix(l[1], "~")
		for _, name := range strings.Fields(list) {
			put(name, !off)
		}
	}
	return all
}

// numbers reads the numbers of system calls on amd64.
func numbers(t *testing.T) map[string]uint32 {
	t.Helper()
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "golang.org/x/sys").Output()
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(dir)), "unix", "zsysnum_linux_amd64.go"))
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]uint32{}
	for _, m := range regexp.MustCompile(`SYS_(\w+)\s+= (\d+)`).FindAllStringSubmatch(string(text), -1) {
		var n uint32
		_, _ = fmt.Sscan(m[2], &n) // digits
		all[strings.ToLower(m[1])] = n
	}
	return all
}

// filter writes the program that the kernel runs for each call: whatever is not allowed
// kills the process, as a unit without SystemCallErrorNumber does.
func filter(t *testing.T, names map[string]bool) string {
	t.Helper()
	const (
		load, equal, give = 0x20, 0x15, 0x06 // BPF_LD+W+ABS, BPF_JMP+JEQ+K, BPF_RET+K
		allow, kill       = 0x7fff0000, 0x80000000
		amd64             = 0xc000003e
	)
	var code []byte
	put := func(op uint16, yes, no byte, k uint32) {
		code = binary.LittleEndian.AppendUint16(code, op)
		code = append(code, yes, no)
		code = binary.LittleEndian.AppendUint32(code, k)
	}
	put(load, 0, 0, 4)
	put(equal, 1, 0, amd64)
	put(give, 0, 0, kill)
	put(load, 0, 0, 0)
	of := numbers(t)
	for name := range names {
		if n, is := of[name]; is { // others are of other architectures
			put(equal, 0, 1, n)
			put(give, 0, 0, allow)
		}
	}
	put(give, 0, 0, kill)
	file := filepath.Join(t.TempDir(), "filter")
	if err := os.WriteFile(file, code, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// Under the unit's own filter of system calls every call is answered and the service
// drains. A filter that forbids lowering the priority kills it.
func TestUnitFilter(t *testing.T) {
	if runtime.GOARCH != "amd64" {
		t.Skip("system call numbers in the test are those of amd64")
	}
	if _, err := exec.LookPath("systemd-analyze"); err != nil {
		t.Skip("systemd-analyze, which expands the unit's sets, is not installed")
	}
	text, err := os.ReadFile(unit)
	if err != nil {
		t.Fatal(err)
	}
	p, err := program()
	if err != nil {
		t.Fatal(err)
	}
	under := func(names map[string]bool) error {
		t.Setenv(filterFile, filter(t, names))
		t.Setenv(filtered, p)
		record := filepath.Join(t.TempDir(), "boards.jsonl")
		r, err := replicas.Launch(os.Args[0], "--drain-delay", "1ms", "--record", record, "--health", "127.0.0.1:0")
		if err != nil {
			return err
		}
		defer r.Kill()
		return everyCall(t, r, record)
	}
	names := allowed(t, strings.ReplaceAll(string(text), "\r", ""))
	if len(names) < 150 || names["mount"] || names["reboot"] || names["ptrace"] || names["setuid"] {
		t.Errorf("the filter allows %d system calls, with mount, reboot, ptrace or setuid", len(names))
	}
	if err := under(names); err != nil {
		t.Errorf("under the unit's filter: %v", err)
	}
	delete(names, "setpriority")
	if err := under(names); err == nil {
		t.Error("a filter that refuses what the service needs has no effect; is it in force?")
	}
}

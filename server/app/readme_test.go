package app

import (
	"bytes"
	"encoding/json"
	"flag"
	"net/http"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// The guide's first calls get the answers shown below them. Time and work are not
// compared: they differ on another machine and with another search.
func TestFirstCalls(t *testing.T) {
	text, err := os.ReadFile(firstCalls)
	if err != nil {
		t.Fatal(err)
	}
	calls := regexp.MustCompile("(?s)```sh\n(curl|grpcurl) [^\n]*\\\\\n *-d '(.*?)'[^\n]*(?:\\\\\n[^\n]*)?\n```\n.*?```json\n(.*?)```").FindAllSubmatch(text, -1)
	if len(calls) != 2 {
		t.Fatalf("%d calls with answers in the guide, want one by curl and one by grpcurl", len(calls))
	}
	a, client, _ := start(t)
	for _, c := range calls {
		how, body := string(c[1]), c[2]
		var want, got ripwrightv1.SolveBoardResponse
		if err := protojson.Unmarshal(c[3], &want); err != nil {
			t.Fatalf("%s: the answer shown: %v", how, err)
		}
		if how == "curl" {
			code, says := post(t, a, "/v1/boards:solve", string(body))
			if code != http.StatusOK {
				t.Fatalf("%d %s", code, says)
			}
			if err := protojson.Unmarshal([]byte(says), &got); err != nil {
				t.Fatal(err)
			}
		} else {
			var req ripwrightv1.SolveBoardRequest
			if err := protojson.Unmarshal(body, &req); err != nil {
				t.Fatal(err)
			}
			answer, err := client.SolveBoard(t.Context(), &req)
			if err != nil {
				t.Fatal(err)
			}
			proto.Merge(&got, answer)
		}
		if *update {
			got.SolveTimeUs = want.SolveTimeUs
			text = bytes.Replace(text, c[3], shown(t, how, &got), 1)
			continue
		}
		for _, m := range []*ripwrightv1.SolveBoardResponse{&got, &want} {
			if m.GetProof().GetWork() <= 0 {
				t.Errorf("%s: work %v", how, m.GetProof().GetWork())
			}
			m.SolveTimeUs = 0
			m.Proof.Work = 0
		}
		if !proto.Equal(&got, &want) {
			t.Errorf("%s: the guide shows\n%s\nand the service says\n%s", how, protojson.Format(&want), protojson.Format(&got))
		}
	}
	if *update {
		if err := os.WriteFile(firstCalls, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// firstCalls is the guide with those calls.
const firstCalls = "../../clients/calling.md"

// The front page makes a call of the guide of first calls, and what it shows of the
// answer are lines of the answer there, in their order.
func TestFrontPage(t *testing.T) {
	front, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	guide, err := os.ReadFile(firstCalls)
	if err != nil {
		t.Fatal(err)
	}
	call := regexp.MustCompile("(?s)```sh\n(curl .*?)```.*?```json\n(.*?)```")
	here, there := call.FindSubmatch(front), call.FindSubmatch(guide)
	if here == nil || there == nil || !bytes.Equal(here[1], there[1]) {
		t.Fatal("the request on the front page differs from the guide's")
	}
	rest := string(there[2])
	for _, line := range strings.SplitAfter(strings.TrimSpace(string(here[2])), "\n") {
		_, after, ok := strings.Cut(rest, line)
		if !ok {
			t.Errorf("the answer has no %q after those before it", line)
			continue
		}
		rest = after
	}
	if len(front) > 9000 {
		t.Errorf("the front page has %d bytes; at most 9000 are allowed", len(front))
	}
	// Every call is described.
	for _, f := range []protoreflect.FileDescriptor{ripwrightv1.File_ripwright_v1_rip_service_proto, ripwrightv1.File_ripwright_v1_planning_service_proto, ripwrightv1.File_ripwright_v1_tally_service_proto, ripwrightv1.File_ripwright_v1_info_service_proto} {
		for i := range f.Services().Len() {
			for j := range f.Services().Get(i).Methods().Len() {
				if name := string(f.Services().Get(i).Methods().Get(j).Name()); !strings.Contains(string(front), "`"+name+"`") {
					t.Errorf("the front page does not mention %s", name)
				}
			}
		}
	}
}

var update = flag.Bool("update", false, "write the service's answers into the guides")

// shown writes an answer as the guides show it.
func shown(t *testing.T, how string, m proto.Message) []byte {
	t.Helper()
	ours := how == "curl" // grpcurl formats differently
	b, err := protojson.MarshalOptions{UseProtoNames: ours, EmitDefaultValues: ours}.Marshal(m)
	if err != nil {
		t.Fatal(err)
	}
	return pretty(t, b)
}

// pretty indents JSON, with short innermost objects and lists on one line.
func pretty(t *testing.T, b []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := json.Indent(&out, b, "", "  "); err != nil {
		t.Fatal(err)
	}
	text := out.String() + "\n"
	for range 2 {
		text = regexp.MustCompile(`[\[{]\s+[^\[\]{}]*?\s+[\]}]|\[\s+(\{[^{}\n]*\},?\s+)+\]`).ReplaceAllStringFunc(text, func(s string) string {
			line := regexp.MustCompile(`\s*\n\s*`).ReplaceAllString(s, " ")
			line = line[:1] + strings.TrimSpace(line[1:len(line)-1]) + line[len(line)-1:]
			if len(line) > 70 {
				return s
			}
			return line
		})
	}
	return []byte(text)
}

// The service config recommended to callers is the one that loses no call when tested.
func TestGuidesServiceConfig(t *testing.T) {
	text, err := os.ReadFile("../../deploy/SCALING.md")
	if err != nil {
		t.Fatal(err)
	}
	m := regexp.MustCompile("(?s)```json\n(.*?)```").FindSubmatch(text)
	if m == nil {
		t.Fatal("the guide has no service config")
	}
	var told, seen map[string]any
	if err := json.Unmarshal(m[1], &told); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(balanced), &seen); err != nil {
		t.Fatal(err)
	}
	for name, want := range seen {
		if !reflect.DeepEqual(told[name], want) {
			t.Errorf("%s is %v, want %v", name, told[name], want)
		}
	}
}

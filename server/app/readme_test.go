package app

import (
	"net/http"
	"os"
	"regexp"
	"strings"
	"testing"

	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"

	ripwrightv1 "github.com/ripwright/ripwright/proto/ripwright/v1"
)

// The first calls in the README give the answers that stand below them.
func TestReadmeCalls(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	calls := regexp.MustCompile("(?s)```sh\n(curl|grpcurl) [^\n]*\\\\\n *-d '(.*?)'[^\n]*(?:\\\\\n[^\n]*)?\n```\n.*?```json\n(.*?)```").FindAllSubmatch(text, -1)
	if len(calls) != 2 {
		t.Fatalf("%d calls with answers in the README, want one by curl and one by grpcurl", len(calls))
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
		got.SolveTimeUs, want.SolveTimeUs = 0, 0
		if !proto.Equal(&got, &want) {
			t.Errorf("%s: the README shows\n%s\nand the service says\n%s", how, protojson.Format(&want), protojson.Format(&got))
		}
	}
}

// The service config in the README is the one that was seen to lose no call.
func TestReadmeServiceConfig(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(text), "```json\n"+balanced+"\n```\n") {
		t.Errorf("the README lacks\n%s", balanced)
	}
}

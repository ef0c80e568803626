package command

import (
	"bytes"
	"strings"
	"testing"
)

// Whatever is wrong, the status tells what it is about and the words what to type.
func TestStatuses(t *testing.T) {
	b := open(t)
	b.write(t, "narrow.yaml", "order_id: o\nitems:\n- item_id: a\n  width: 1/4in\n")
	b.write(t, "misspelt.yaml", "order_id: o\nitems:\n- item_id: a\n  widht: 2in\n")
	b.write(t, "two.yaml", "- name: one\n- name: two\n")
	b.write(t, "far.yaml", "fence: 145.6mm\nblades:\n- 149mm\n- 222.4mm\n")
	for _, c := range []struct {
		args   string
		status int
		says   string
	}{
		{"", 0, ""},
		{"frob", statusUsage, "ripctl --help lists the commands"},
		{"solve --frob", statusUsage, "ripctl solve --help lists what there is"},
		{"solve", statusUsage, "name a file with boards"},
		{"solve MILL/boards.jsonl", statusUsage, "--order order.yaml"},
		{"solve --order MILL/order.yaml MILL/boards.jsonl", statusUsage, "--saw heron, or a file with yours: --saw-file saws.yaml"},
		{"solve --order MILL/order.yaml --saw-file MILL/two.yaml MILL/boards.jsonl", statusUsage, "say which: --saw one or --saw two"},
		{"solve --order MILL/order.yaml --saw-file MILL/two.yaml --saw three MILL/boards.jsonl", statusUsage, `no saw called "three"; write --saw one or --saw two`},
		{"solve --units cubits", statusUsage, "write --units mm or --units in"},
		{"solve --json --csv", statusUsage, "leave one of them out"},
		{"solve --timeout 0s", statusUsage, "--timeout 30s"},
		{"solve --timeout soon", statusUsage, "--timeout"},
		{"version now", statusUsage, `takes no "now"`},
		{"schema", statusUsage, "order, saws, boards, setting"},
		{"schema pack", statusUsage, "order, saws, boards, setting"},
		{"saws", statusUsage, "ripctl saws saws.yaml"},
		{"demo", statusUsage, "ripctl demo mill"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusUsage, "say which: --board AC-001"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board x", statusUsage, `no board is called "x"; the first one is --board AC-001`},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001", statusUsage, "write --fence 153.6mm --blades"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --fence 153.6 --blades 1in", statusUsage, "write 153.6mm or 153.6in"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --fence 1in --blades 1in,2", statusUsage, "--blades, blade 2: "},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --fence 1in --blades 1in --setting x", statusUsage, "leave one of them out"},
		{"draw --csv", statusUsage, "leave --csv out"},

		{"solve --saw heron --order MILL/none.yaml MILL/boards.jsonl", statusInput, "ripctl demo writes files to start from"},
		{"solve --saw heron --order MILL/misspelt.yaml MILL/boards.jsonl", statusInput, "misspelt.yaml:4: items[0].widht is no field; write width"},
		{"solve --saw heron --order MILL/misspelt.yaml MILL/boards.jsonl", statusInput, "ripctl schema order writes what such a file may hold"},
		{"solve --saw heron --order MILL/narrow.yaml MILL/boards.jsonl", statusInput, "narrow.yaml:4: items[0].width_mm is 6.35, narrower than"},
		{"solve --saw hern --order MILL/order.yaml MILL/boards.jsonl", statusInput, "--saw-file saws.yaml"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --fence 1in --blades 1in", statusInput, "--blades has 1 entries; the saw has 4 blades"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --fence 1in --blades 1in,2in,3in,600ft", statusInput, "--blades, blade 4: is 182880; must be"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --setting MILL/far.yaml", statusInput, "far.yaml:2: blades_mm has 2 entries"},
		{"draw --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --setting MILL/far.yaml", statusInput, "far.yaml:2: blades_mm has 2 entries"},

		{"solve --server 127.0.0.1:1 --wait 0s --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusServer, "start a service with go run ./server"},
		{"solve --server 192.0.2.1:7420 --token-file x --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusUsage, "in the open to 192.0.2.1:7420; add --tls-ca"},
		{"solve --tls-ca MILL/none.pem --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusInput, "--tls-ca: "},
		{"solve --tls-ca MILL/order.yaml --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusInput, "holds no certificate"},
		{"solve --tls-cert x --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusUsage, "give both"},
		{"solve --timeout 1ns --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusServer, "--timeout 2m"},
	} {
		out, errs := b.run(t, c.status, strings.Fields(c.args)...)
		if !strings.Contains(errs, c.says) {
			t.Errorf("%s says %q\nwant %q", c.args, errs, c.says)
		}
		if c.status != 0 && out != "" {
			t.Errorf("%s fails and still writes %q", c.args, out)
		}
	}
}

// A search that is stopped at once proves nothing, which --must-prove minds.
func TestMustProve(t *testing.T) {
	b := open(t)
	var out, errs bytes.Buffer
	args := append([]string{"--server", b.server, "--wait", "1m"}, about("solve", "--must-prove", "--time-limit-ms", "0.000001")...)
	for i := range args {
		args[i] = strings.ReplaceAll(args[i], "MILL", b.dir)
	}
	if got := Run(t.Context(), args, nil, &out, &errs); got != statusProof || !strings.Contains(errs.String(), "plans are not proven") {
		t.Errorf("status %d: %s", got, errs.String())
	}
}

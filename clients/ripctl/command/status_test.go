package command

import (
	"bytes"
	"strings"
	"testing"
)

// Whatever is wrong, the status gives the category and the message what to type.
func TestStatuses(t *testing.T) {
	b := open(t)
	b.write(t, "narrow.yaml", "order_id: o\nitems:\n- item_id: a\n  width: 1/4in\n")
	b.write(t, "misspelt.yaml", "order_id: o\nitems:\n- item_id: a\n  widht: 2in\n")
	b.write(t, "two.yaml", "- name: one\n- name: two\n")
	b.write(t, "far.yaml", "fence: 145.6mm\nblades:\n- 149mm\n- 222.4mm\n")
	b.write(t, "empty.yaml", "lots:\n- {lot_id: a, price_per_mbf: 1, tagged: {rows: [{width: 8in, length: 8ft, count: 0}]}}\n")
	b.write(t, "arbors-named.yaml", "saw_name: heron\n")
	b.write(t, "arbors-none.yaml", "spacers: {min: 1mm, max: 9mm}\norders:\n- order: {items: [{item_id: a, width: 2in, value: 1}]}\n")
	b.write(t, "late.yaml", "change: {}\njobs:\n- {order_id: a, due: 0min, arbors: [{duration: 1h}]}\n")
	for _, c := range []struct {
		args   string
		status int
		says   string
	}{
		{"", 0, ""},
		{"frob", statusUsage, "ripctl --help lists the commands"},
		{"qoute --saw heron", statusUsage, `there is no command "qoute"; write ripctl quote`},
		{"solve --frob", statusUsage, "ripctl solve --help lists the flags"},
		{"solve", statusUsage, "name a file with boards"},
		{"solve MILL/boards.jsonl", statusUsage, "--order order.yaml"},
		{"solve --order MILL/order.yaml MILL/boards.jsonl", statusUsage, "--saw heron, or a file with yours: --saw-file saws.yaml"},
		{"solve --order MILL/order.yaml --saw-file MILL/two.yaml MILL/boards.jsonl", statusUsage, "say which: --saw one or --saw two"},
		{"solve --order MILL/order.yaml --saw-file MILL/two.yaml --saw three MILL/boards.jsonl", statusUsage, `no saw called "three"; write --saw one or --saw two`},
		{"solve --units cubits", statusUsage, "write --units mm or --units in"},
		{"solve --json --csv", statusUsage, "set only one of them"},
		{"solve --timeout 0s", statusUsage, "--timeout 30s"},
		{"solve --timeout soon", statusUsage, "--timeout"},
		{"version now", statusUsage, `does not take "now"`},
		{"schema", statusUsage, "order, saws, boards, setting"},
		{"schema pack", statusUsage, "order, saws, boards, setting"},
		{"saws", statusUsage, "ripctl saws saws.yaml"},
		{"demo", statusUsage, "ripctl demo mill"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusUsage, "say which: --board AC-001"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board x", statusUsage, `no board is called "x"; the first one is --board AC-001`},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001", statusUsage, "write --fence 153.6mm --blades"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --fence 153.6 --blades 1in", statusUsage, "write 153.6mm or 153.6in"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --fence 1in --blades 1in,2", statusUsage, "--blades, blade 2: "},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --fence 1in --blades 1in --setting x", statusUsage, "set only one of them"},
		{"draw --csv", statusUsage, "omit --csv"},
		{"quote now", statusUsage, `does not take "now"`},
		{"quote --saw heron", statusUsage, "--order order.yaml"},
		{"quote --saw heron --order MILL/order.yaml", statusUsage, "--lumber lumber.yaml"},
		{"quote --order MILL/order.yaml --lumber MILL/lumber.yaml", statusUsage, "--saw-file saws.yaml"},
		{"quote --objective profit", statusUsage, `--objective is "profit"; write --objective boards or --objective face or --objective cost`},
		{"quote --values good", statusUsage, "--values planned or --values own or --values yield"},
		{"quote --scrap stile=much", statusUsage, "--scrap stile=5%"},
		{"quote --table all", statusUsage, "write one of quote, items, fill"},
		{"values --times stile=x", statusUsage, "--times stile=1.2"},
		{"values --objective x", statusUsage, "--objective cost"},
		{"arbor", statusUsage, "ripctl arbor arbors.yaml"},
		{"arbor --saw heron MILL/arbors.yaml", statusUsage, "--lumber lumber.yaml"},
		{"sequence", statusUsage, "ripctl sequence day.yaml"},
		{"share", statusUsage, "ripctl share lines.yaml"},
		{"share MILL/lines.yaml --save-order north=x.json", statusUsage, `lines.yaml has no such line`},
		{"replay", statusUsage, "ripctl replay recording.jsonl"},
		{"line --table all", statusUsage, "write one of plans, items, stacks, packs"},
		{"line --in-flight 64", statusUsage, "write 0 to 63"},
		{"line --reconnect -1s", statusUsage, "--reconnect 30s"},
		{"line --saw heron", statusUsage, "name a file with boards"},

		{"quote --saw heron --order MILL/order.yaml --lumber MILL/none.yaml", statusInput, "ripctl demo writes files"},
		{"quote --saw heron --order MILL/order.yaml --lumber MILL/order.yaml", statusInput, "order.yaml:4: order_id is not a field"},
		{"quote --saw heron --order MILL/order.yaml --lumber MILL/empty.yaml", statusInput, "empty.yaml:2: lots[0].tagged.rows[0].count is 0; must be"},
		{"quote --saw heron --order MILL/narrow.yaml --lumber MILL/lumber.yaml", statusInput, "narrow.yaml:2: items want nothing"},
		{"quote --saw heron --order MILL/order.yaml --lumber MILL/lumber.yaml --simulations 9999", statusInput, "--simulations is 9999; must be"},
		{"quote --saw heron --order MILL/order.yaml --lumber MILL/lumber.yaml --level 3", statusInput, "--level is 3; must be"},
		{"quote --saw heron --order MILL/order.yaml --lumber MILL/lumber.yaml --scrap stle=5%", statusInput, `--scrap stle is "stle"; the order has no such item`},
		{"quote --saw hern --order MILL/order.yaml --lumber MILL/lumber.yaml", statusInput, "--saw-file saws.yaml"},
		{"values --saw heron --order MILL/order.yaml --lumber MILL/lumber.yaml --relative-gap 7", statusInput, "--relative-gap is 7; must be"},
		{"values --saw heron --order MILL/order.yaml --lumber MILL/lumber.yaml --keep stle", statusInput, "--keep stle is"},
		{"values --saw heron --order MILL/order.yaml --lumber MILL/lumber.yaml --times stile=1000", statusInput, "--times stile is 1000; must be"},
		{"values --saw heron --order MILL/order.yaml --lumber MILL/lumber.yaml --set-aside-loss 2", statusInput, "--set-aside-loss is 2; must be"},
		{"arbor --saw heron --lumber MILL/lumber.yaml MILL/far.yaml", statusInput, "far.yaml:1: fence is not a field"},
		{"arbor --saw heron --lumber MILL/lumber.yaml MILL/arbors-named.yaml", statusInput, "saw_name is not a field of this file; give it with --saw"},
		{"arbor --saw heron --lumber MILL/lumber.yaml MILL/arbors-none.yaml", statusInput, "arbors-none.yaml:1: spacers.increment_mm is 0; must be"},
		{"sequence MILL/order.yaml", statusInput, "order_id is not a field"},
		{"sequence MILL/late.yaml", statusInput, "late.yaml:3: jobs[0].due_minutes is 0; must be"},
		{"replay MILL/none.jsonl", statusInput, "the service's setting record says where"},
		{"replay MILL/order.yaml", statusInput, "order.yaml: line 1: "},
		{"line --saw hern --order MILL/order.yaml MILL/boards.jsonl", statusInput, "--saw-file saws.yaml"},
		{"line --saw heron --order MILL/narrow.yaml MILL/boards.jsonl", statusInput, "narrow.yaml:4: items[0].width_mm"},
		{"line --saw heron --order MILL/order.yaml MILL/boards.jsonl --saw-hour -1", statusInput, "--saw-hour is -1; must be"},
		{"solve --saw heron --order MILL/order.yaml MILL/boards.jsonl --saw-hour -1", statusInput, "--saw-hour is -1; must be"},
		{"solve --saw heron --order MILL/order.yaml MILL/boards.jsonl --runners-up 30", statusInput, "--runners-up is 30; must be"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --work-limit -1", statusUsage, "write --fence"},
		{"draw --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --work-limit -1", statusInput, "--work-limit is -1; must be"},
		{"line --saw heron --order MILL/order.yaml MILL/boards.jsonl --runners-up 30", statusInput, "--runners-up is 30; must be"},
		{"line --saw heron --order MILL/order.yaml MILL/boards.jsonl --stack-threshold-mm 300", statusInput, "--stack-threshold-mm is 300; must be"},

		{"solve --saw heron --order MILL/none.yaml MILL/boards.jsonl", statusInput, "ripctl demo writes files to start from"},
		{"solve --saw heron --order MILL/misspelt.yaml MILL/boards.jsonl", statusInput, "misspelt.yaml:4: items[0].widht is not a field; write width"},
		{"solve --saw heron --order MILL/misspelt.yaml MILL/boards.jsonl", statusInput, "ripctl schema order writes what such a file can hold"},
		{"solve --saw heron --order MILL/narrow.yaml MILL/boards.jsonl", statusInput, "narrow.yaml:4: items[0].width_mm is 6.35, narrower than"},
		{"solve --saw hern --order MILL/order.yaml MILL/boards.jsonl", statusInput, "--saw-file saws.yaml"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --fence 1in --blades 1in", statusInput, "--blades has 1 entries; the saw has 4 blades"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --fence 0 --blades 0,2in,3in,600ft", statusInput, "--blades, blade 4: is 182880; must be"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --fence 1in --blades 1in,2in,3in,600ft", statusInput, "--blades, blade 4: is 182880; must be"},
		{"check --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --setting MILL/far.yaml", statusInput, "far.yaml:2: blades_mm has 2 entries"},
		{"draw --saw heron --order MILL/order.yaml MILL/boards.jsonl --board AC-001 --setting MILL/far.yaml", statusInput, "far.yaml:2: blades_mm has 2 entries"},

		{"solve --server 127.0.0.1:1 --wait 0s --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusServer, "start a service with go run ./server"},
		{"solve --server 192.0.2.1:7420 --token-file x --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusUsage, "in the clear to 192.0.2.1:7420; add --tls-ca"},
		{"solve --tls-ca MILL/none.pem --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusInput, "--tls-ca: "},
		{"solve --tls-ca MILL/order.yaml --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusInput, "holds no certificate"},
		{"solve --tls-cert x --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusUsage, "give both"},
		{"quote --server 127.0.0.1:1 --wait 0s --saw heron --order MILL/order.yaml --lumber MILL/lumber.yaml", statusServer, "nothing answers"},
		{"quote --timeout 1ns --saw heron --order MILL/order.yaml --lumber MILL/lumber.yaml", statusServer, "no answer within 1ns"},
		{"line --timeout 1ns --saw heron --order MILL/order.yaml MILL/boards.jsonl", statusServer, "no answer within 1ns"},
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

// A search that is stopped at once proves nothing, which --must-prove reports.
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

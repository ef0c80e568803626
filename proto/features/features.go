// Package features lists the words for what a release can do.
package features

// Feature is something that a release can do, named by a word that never changes.
type Feature struct {
	Name string
	// For is a sentence of the reference: what a caller can rely on.
	For string
}

// All are the features of this release. A later release may have more, never fewer.
var All = []Feature{
	{"saw_by_name", "Saws of the server's saw file are used by their name (`saw_name`)."},
	{"skew", "Boards are set at an angle if the saw states the limit of its infeed (`max_skew_mm_per_m`)."},
	{"turns", "Boards are turned before they are fed where the saw says how they can be (`turns`) and the request asks for it (`turn_boards`)."},
	{"rerip", "Wood that is worth feeding again counts in a plan's worth (`rerip`)."},
	{"crosscut", "Strips of items with crosscut lengths are worth their pieces, and plans say where pieces lie."},
	{"runners_up", "Further plans come with the best, each the best of its kind."},
	{"work_limit", "A search ends after a given number of steps, at the same place on every machine."},
	{"price_per_saw_hour", "Plans weigh the saw's time against the worth of strips, with proof."},
	{"answer_detail", "A request says how much its answer tells (`detail`)."},
	{"line_resume", "A run goes on from its last state on any replica of the releases that COMPATIBILITY.md names."},
	{"line_drift", "Measured strips name their pocket (`pocket`), and a run tells once when the widths of a pocket drift (`drift_watch`, `drifts`)."},
	{"line_value_planning", "A run plans the values of its items (`value_planning`)."},
	{"line_set_aside", "A run that plans values says which boards are better set aside (`set_aside_loss`)."},
	{"line_start", "Boards and confirmations of a run say where the axes stand as measured (`measured_setting`), and plans say how the start of their axes is known (`start`)."},
	{"line_expected", "Confirmations name their board (`board_id`), and a resume names the run, order and saw that it expects."},
	{"strip_doubts", "Measured strips are compared with board, plan and order: refused if impossible, counted with a named doubt if unlikely (`doubts`)."},
	{"begin_anew", "An item of a run keeps its width under its name, unless an order change has it begin again (`begin_anew`)."},
	{"do_not_feed", "An answer says if nothing is to be gained from a board, and why (`do_not_feed`); a line says when its order is full (`order_full`)."},
	{"instructions", "For a board an operator forces or forbids items, locks fence and blades or asks for a least yield, and the answer says what that costs (`instructions`, `instructed`)."},
	{"line_release", "The reservation of a board of a run that is never confirmed ends (`release_after_boards`, `released`)."},
	{"line_shift", "A run is summed up at any time and since a mark (`sum_up`), stops are reported with a reason (`stop`, `restart`), and from the times in messages (`at_s`) summaries give how long the line ran and stood and the boards an hour."},
	{"line_next_orders", "Orders wait in a run and follow one another without a break (`next_orders`, `other_orders`)."},
	{"line_overlap", "The last boards of an order serve the next one too, and pockets say whose they are (`overlap_from_boards`, `order_id` of `Pocket` and `CutStrip`)."},
	{"outfeed_bays", "Boards of a run are planned for no more stacks at a time than the outfeed has bays, which the run gives to stacks, and the summary says what that costs in worth and, by order, in lumber (`outfeed_bays`, `bay_changes`, `lumber`)."},
	{"due_boards", "Planning, quotes by planned values and lines that plan values heed dues (`due_boards`)."},
	{"share_order", "ShareOrder shares an order among the lines that work on it."},
	{"quote_compare", "A quote compares what boards are cut by, on the same boards (`compare`)."},
	{"quote_progress", "WatchQuote reports the progress of a quote."},
	{"planning_time_limit", "QuoteOrder, WatchQuote and PlanArbor end after 30 s unless the request says otherwise."},
	{"tally_past_packs", "Packs that were tallied before count in the suppliers' accuracy (`past_packs`)."},
	{"tally_moisture", "The change of a pack's species between two moisture contents is given (`moisture`)."},
	{"unknown_fields_refused", "Fields of requests that the release does not know are refused, over JSON and gRPC, at any depth."},
	{"blades_changed", "A saw says when its blades were last changed, and metrics count their wear since (`blades_changed`)."},
	{"explain", "CheckPlan explains the distance of a setting from the best plan, and the search (`explain`)."},
	{"request_id", "`X-Request-Id` is echoed with the answer."},
}

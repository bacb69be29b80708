package jobfile

import (
	"slices"

	"gaugerod/scheduler"
	"gaugerod/scheduler/worktime"
)

// hold is a hold with the waits into its start.
type hold struct {
	scheduler.Hold
	after []scheduler.Wait
}

func holdWork(h *hold) *scheduler.Work { return &h.Work }

var holdTable = table[hold]{
	name:    "hold",
	fresh:   hold{Hold: scheduler.Hold{Work: scheduler.Work{Crews: 1}}},
	notBoth: eitherNumber,
	keys: slices.Concat(
		[]key[hold]{
			must("title", text, func(h *hold) *string { return &h.Title }),
			must("kind", textCodec[scheduler.HoldKind]("a kind"), func(h *hold) *scheduler.HoldKind { return &h.Kind }),
			may("witness", yes, func(h *hold) *bool { return &h.Witness }),
			must("by", name, func(h *hold) *scheduler.ID { return &h.By }),
			may("notice", span, func(h *hold) *worktime.Span { return &h.Notice }),
			may("nominal", optional(number), func(h *hold) **int { return &h.Nominal }),
			may("tolerance", count(0), func(h *hold) *int { return &h.Tolerance }),
		},
		workers(holdWork),
		[]key[hold]{may("takes", span, takes(holdWork))},
		conditions(holdWork),
		[]key[hold]{
			may("after", after, func(h *hold) *[]scheduler.Wait { return &h.after }),
			may("note", text, func(h *hold) *string { return &h.Note }),
		},
	),
}

var holds = named("hold", &holdTable, func(h *hold) (*scheduler.ID, *scheduler.Pos) { return &h.ID, &h.Pos })

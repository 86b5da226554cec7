package job

import (
	"fmt"

	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet"
)

var (
	supplyWords = []string{"split-phase", "wye", "single-phase"}
	supplies    = []switchnet.System{switchnet.SplitPhase(), switchnet.Wye120(), switchnet.SinglePhase230()}
)

// usual is the supply that is usual where the rules of a region hold.
var usual = map[string]switchnet.System{
	"ca-2021": switchnet.SplitPhase(), "uk-2018": switchnet.SinglePhase230(), "us-2023": switchnet.SplitPhase(),
}

// region reads which rules the job is under, and the supply.
func (r *reader) region(head *entry) {
	ids := []string{"ca-2021", "uk-2018", "us-2023"}
	id := head.need("rules", "the region whose rules hold, such as us-2023")
	system, ok := usual[id]
	if !ok {
		if n := head.m.Get("rules"); id != "" {
			head.fail("rules", n, strict.Report{Found: fmt.Sprintf("no rules are called %q", id), Expected: join(ids), Fix: r.didYouMean(ids, id)})
		}
		head.spoil("rules")
		system = switchnet.SplitPhase()
	}
	r.out.Rules = id
	if head.has("supply") {
		system = word(head, "supply", "a system of supply", supplyWords, supplies)
		if system.Lines == 0 {
			head.spoil("rules") // what the feeds say of lines cannot be judged
			system = switchnet.SplitPhase()
		}
	}
	r.out.Wiring.Supply = system
}

// boxType reads a type of box.
func (r *reader) boxType(e *entry) string { return e.text("type", "a type of box") }

// term returns the built-in kind that a word of the region stands for, or the word
// itself.
func (r *reader) term(s string) string { return s }

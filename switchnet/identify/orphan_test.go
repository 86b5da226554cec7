package identify_test

import (
	"testing"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestThirdScrew: a three-way that nobody knows a partner of has all three conductors of
// its cable landed, one of them a traveler that leads nowhere any more. That is no
// contradiction; on a single-pole switch a conductor that does nothing would be one.
func TestThirdScrew(t *testing.T) {
	for _, row := range []struct {
		reason string
		see    identify.InBox
		fits   bool
	}{
		{"all three on the screws", identify.InBox{Box: "hall", Screws: []identify.Screw{
			{Device: "stair", Terminal: "common", Wire: wire("K1.black")}, {Device: "stair", Terminal: "traveler 1", Wire: wire("K1.red")}, {Device: "stair", Terminal: "traveler 2", Wire: wire("K1.white")}}}, true},
		{"two on the screws and one capped", identify.InBox{Box: "hall", Screws: []identify.Screw{
			{Device: "stair", Terminal: "common", Wire: wire("K1.black")}, {Device: "stair", Terminal: "traveler 1", Wire: wire("K1.red")}}, Capped: []wiring.Wire{wire("K1.white")}}, true},
		{"one on a screw and two capped", identify.InBox{Box: "hall", Screws: []identify.Screw{
			{Device: "stair", Terminal: "common", Wire: wire("K1.black")}}, Capped: []wiring.Wire{wire("K1.white"), wire("K1.red")}}, false},
	} {
		s := cottage(t, "hall")
		enter(t, s, "K1", "14/3", "hall", "ceiling")
		x := newCase(t, s, &identify.Options{Open: []string{"hall"}, FeedAt: map[string][]string{"stair": {"ceiling"}}}).Session()
		if err := x.Recall(row.see, 0); err != nil {
			t.Fatal(err)
		}
		left := x.Verdict(0)
		if got := left.Status != trace.Contradiction; got != row.fits {
			t.Errorf("%s: %v, %d left", row.reason, left.Status, left.Possibilities)
		}
	}
}

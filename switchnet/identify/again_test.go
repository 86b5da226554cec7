package identify_test

import (
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// TestAgain: between the hot and the neutral of a feed an ohmmeter finds whatever is on
// the circuit elsewhere. Measured once more, with ends twisted together that have nothing to do
// with it, it is no news: it takes no weight from that cable being the feed.
func TestAgain(t *testing.T) {
	s := cottage(t, "lower", "upper")
	enter(t, s, "A1", "14/3", "lower", "upper")
	enter(t, s, "U2", "14/2", "upper", "")
	enter(t, s, "U3", "14/2", "upper", "")
	x := newCase(t, s, &identify.Options{Parted: []string{"lower", "upper"}}).Session()
	for _, a := range []identify.Action{{Do: identify.LockOut}, {Do: identify.ProveDead, Box: "lower"}, {Do: identify.ProveDead, Box: "upper"}} {
		if err := x.Do(a.Do, a.Box); err != nil {
			t.Fatal(err)
		}
	}
	feed := func() float64 {
		sum := 0.0
		for _, f := range x.Verdict(1 << 20).Fits {
			for _, w := range f.Cables {
				if w.Cable == "U3" && w.Kind == identify.ToFeed {
					sum += f.Likely.Float64()
				}
			}
		}
		return sum
	}
	ohms := func(found trace.Path, ties ...[2]wiring.End) {
		t.Helper()
		err := x.Observe(identify.Continuity{Between: [2]switchnet.Terminal{wire("U3.black").In("upper"), wire("U3.white").In("upper")}, Tied: ties, Found: found})
		if err != nil {
			t.Fatal(err)
		}
	}
	tie := func(a, b string) [2]wiring.End { return [2]wiring.End{end("lower", a), end("lower", b)} }
	ohms(trace.Open)
	once := feed()
	if once < 0.2 || once > 0.9 {
		t.Fatalf("U3 is the feed by %v, which says nothing", once)
	}
	ohms(trace.Open, tie("A1.black", "A1.white"))
	ohms(trace.Open, tie("A1.black", "A1.red"))
	ohms(trace.Open, tie("A1.white", "A1.red"))
	if again := feed(); again < 0.6*once {
		t.Errorf("measured four times U3 is the feed by %v, once by %v", again, once)
	}
	// Something else than before is possible, and unlikely.
	ohms(trace.Joined)
	if v := x.Verdict(1); v.Status == trace.Contradiction {
		t.Errorf("another answer than before: %v", v.Status)
	}
}

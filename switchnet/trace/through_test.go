package trace_test

import (
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
)

// TestReadingsThroughALoadGoOn holds that a session which has read through a lamp, and not
// known what that would come to, goes on reading where that tells of other causes: with an
// open neutral the lamp brings the hot to all that hangs on it.
func TestReadingsThroughALoadGoOn(t *testing.T) {
	w := chain(t, 2)
	c := newCase(t, w, &trace.Options{NoDead: true})
	for _, r := range []struct {
		what string
		most int // classes that are left
	}{
		{"C0.white is open", 1},
		{"C1.white is open", 1},
		{"C1.white is on hall.traveler 1 in box place-1", 1},
		{"C2.white is on hall.traveler 2 in box place-2", 1},
		{"C0.white is out of its splice in box place-1", 1},
		{"C2.white is on hall.common in box place-2", 2},
	} {
		s := c.Session()
		v, tests, _ := follow(t, s, newWorld(t, w, fault(t, w, r.what).Edits, nil), []switchnet.Ref{lamp})
		if !says(v, r.what) || len(v.Fits) > r.most {
			t.Errorf("%s: %d classes are left after %d tests, that one among them: %v", r.what, len(v.Fits), tests, says(v, r.what))
		}
	}
}

// TestALoadReadsAlike holds that what a lamp lets through once it lets through again: a
// second reading through it makes no cause less likely, and one that comes out otherwise
// rules none out.
func TestALoadReadsAlike(t *testing.T) {
	w := chain(t, 2)
	c := newCase(t, w, &trace.Options{Filament: []switchnet.Ref{lamp}})
	open := "C1.white is out of its splice in box place-2"
	bare := end("place-2", "C1", "bare")
	read := func(cable, conductor string, v quantity.Voltage) trace.Reading {
		return trace.Reading{At: at("up", "up"), Red: end("place-2", cable, conductor), Black: bare, Meter: steady.LowImpedance, Shows: v}
	}
	share := func(volts ...quantity.Voltage) (out quantity.Ratio) {
		s := c.Session()
		recall(t, s, saw(trace.Dark, "up", "up"), trace.Reference{At: at("up", "up"), Point: bare, Shown: true}, read("C2", "black", 120*quantity.Volt))
		for _, v := range volts {
			recall(t, s, read("C2", "white", v)) // the other side of the lamp
		}
		for _, f := range verdict(t, s).Fits {
			if says(trace.Verdict{Fits: []trace.Fit{f}}, open) {
				out = f.Likely
			}
		}
		return out
	}
	const through, little = 110 * quantity.Volt, 60 * quantity.Volt
	once, again := share(through), share(through, through, through)
	if once == 0 || once != again {
		t.Errorf("read once it is %s likely, and read again alike %s", once, again)
	}
	if mixed := share(through, little); mixed == 0 {
		t.Error("a driver that does not read alike twice rules out the truth")
	}
}

package main

import (
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// What tests leave in the boxes is known from what was noted.
func TestLeaves(t *testing.T) {
	end := func(colour string) wiring.End {
		return wiring.End{Box: "loft", Wire: wiring.Wire{Cable: "C1", Conductor: colour}}
	}
	act := func(do identify.Do, box string) identify.Entry {
		return identify.Entry{Action: &identify.Action{Do: do, Box: box}}
	}
	twisted := [][2]wiring.End{{end("black"), end("red")}}
	ohms := func(ties [][2]wiring.End) identify.Entry {
		return identify.Entry{Of: identify.Continuity{Between: [2]switchnet.Terminal{identify.Outside(), identify.Outside()}, Tied: ties, Found: trace.Open}}
	}
	volts := func(ties [][2]wiring.End) identify.Entry {
		return identify.Entry{Of: identify.Reading{Red: identify.Outside(), Black: identify.Outside(), Tied: ties}}
	}
	earlier := ohms(twisted)
	earlier.Earlier = true
	for _, r := range []struct {
		reason string
		log    []identify.Entry
		tied   int
		leads  bool
		locked bool
	}{
		{"nothing was done", nil, 0, false, false},
		{"a test with ends twisted together", []identify.Entry{act(identify.LockOut, ""), ohms(twisted)}, 1, true, true},
		{"the next test parts them", []identify.Entry{act(identify.LockOut, ""), ohms(twisted), ohms(nil)}, 0, true, true},
		{"they are parted", []identify.Entry{act(identify.LockOut, ""), ohms(twisted), act(identify.PartEnds, "loft")}, 0, true, true},
		{"others are parted", []identify.Entry{act(identify.LockOut, ""), ohms(twisted), act(identify.PartEnds, "yard-door")}, 1, true, true},
		{"the leads are off and it is live, the ends still twisted", []identify.Entry{act(identify.LockOut, ""), ohms(twisted), act(identify.TakeLeads, ""), act(identify.Energize, "")}, 1, false, false},
		{"they were twisted together for a live reading", []identify.Entry{volts(twisted)}, 1, false, false},
		{"a live reading after that parts nothing", []identify.Entry{volts(twisted), volts(nil)}, 1, false, false},
		{"it was before the session", []identify.Entry{earlier}, 0, false, false},
	} {
		l := leaves(r.log)
		if len(l.tied) != r.tied || l.leads != r.leads || l.locked != r.locked {
			t.Errorf("%s: %+v", r.reason, l)
		}
	}
}

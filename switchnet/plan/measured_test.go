package plan_test

import (
	"context"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// What was measured at a cable stays with it for as long as it is the same cable, at the
// end at which it was measured.
func TestReviseKeepsWhatWasMeasured(t *testing.T) {
	us, err := rules.Load("us-2023")
	if err != nil {
		t.Fatal(err)
	}
	in := intent.Intent{Supply: switchnet.SplitPhase(),
		Boxes: []wiring.Box{{Name: "panel", Kind: wiring.Panel}, {Name: "door", Kind: wiring.DeviceBox, Gangs: 2}, {Name: "slip", Kind: wiring.CeilingBox}},
		Feeds: []wiring.Feed{{Name: "one", Box: "panel", Breaker: 15 * quantity.Ampere}}, Lights: []wiring.Light{{Name: "lamp", Box: "slip"}},
		Controls: []intent.Control{{Name: "slip", Lights: []string{"lamp"}, Places: []string{"door"}}},
		Runs:     []intent.Run{{From: "panel", To: "door", Length: 10 * quantity.Foot}, {From: "door", To: "slip", Length: 8 * quantity.Foot}}}
	p, err := plan.New(context.Background(), in, us, nil)
	if err != nil || len(p.Spec.Cables) != 2 {
		t.Fatalf("%v, %d cables", err, len(p.Spec.Cables))
	}
	at := wiring.Entry{Support: 8 * quantity.Inch, SheathStated: true}
	old := p.Spec.Clone()
	for i := range old.Cables {
		c := &old.Cables[i]
		c.Apart = 4 * quantity.Foot
		if c.From == "door" {
			c.Entries[0] = at
		} else {
			c.Entries[1] = at
		}
		*c = c.Turned() // and written down from the other end
	}
	for _, r := range []struct {
		why    string
		length quantity.Length
		kept   int
	}{
		{"the same cables", 8 * quantity.Foot, 2},
		{"the run to the light is longer, and its cable another", 12 * quantity.Foot, 1},
	} {
		now := in
		now.Runs = []intent.Run{in.Runs[0], {From: "door", To: "slip", Length: r.length}}
		again, err := plan.Revise(context.Background(), old, now, us, nil)
		if err != nil {
			t.Fatal(err)
		}
		kept := 0
		for _, c := range again.Plan.Spec.Cables {
			switch e := c.Entries; {
			case c.Apart == 0 && e == [2]wiring.Entry{}:
			case c.Apart == 4*quantity.Foot && (c.From == "door" && e[0] == at || c.To == "door" && e[1] == at):
				kept++
			default:
				t.Errorf("%s: %s from %s to %s has %v, %v", r.why, c.Name, c.From, c.To, e, c.Apart)
			}
		}
		if kept != r.kept {
			t.Errorf("%s: what was measured stays at %d cables, want %d", r.why, kept, r.kept)
		}
	}
}

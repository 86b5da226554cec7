package packet

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
)

// Readings are readings with everything dead and everything fitted that expose what no
// flip of a walk does, such as a neutral that is switched or a ground that is open.
type Readings struct {
	// Faults is how many single faults of the job no flip shows.
	Faults int `json:"faults"`
	// Readings are in the order of boxes, those with the neutrals off their bar last.
	Readings []Reading `json:"readings"`
	// Fewest says that no fewer readings do.
	Fewest bool `json:"fewest"`
	// Hidden are the faults that none of them shows either, in words; of faults that
	// behave alike the first, with how many there are.
	Hidden []string `json:"hidden"`
	// Problem says why there is no answer.
	Problem string `json:"problem,omitzero"`
}

// Reading is one reading of continuity, or two with a handle moved between them.
type Reading struct {
	From RingEnd `json:"from"`
	To   RingEnd `json:"to"`
	// Wants are what a sound job gives: the reading, or pairs of the first and the second
	// reading, any of which will do.
	Wants [][]trace.Path `json:"wants"`
	// Moved is the switch that is moved between two readings; nil for a single one.
	Moved *Flip `json:"moved,omitempty"`
	// Lifted says that the neutrals of the panel are off their bar.
	Lifted bool `json:"neutrals_lifted,omitzero"`
}

// readings puts a proof in the words of a document.
func readings(proof *trace.Proof, unseen []trace.Class) Readings {
	out := Readings{Readings: []Reading{}, Fewest: proof.Fewest, Hidden: []string{}}
	for i := range unseen {
		out.Faults += len(unseen[i].Causes)
	}
	end := func(t switchnet.Terminal) RingEnd { return RingEnd{t.Place, t.Device + "." + t.Name} }
	for _, c := range proof.Checks {
		r := Reading{From: end(c.Test.Between[0]), To: end(c.Test.Between[1]), Lifted: c.Test.Lifted}
		if c.Want != 0 {
			r.Wants = [][]trace.Path{{c.Want}}
		} else {
			r.Moved = &Flip{c.Both.Place, c.Both.Name}
			for _, w := range c.Wants {
				r.Wants = append(r.Wants, slices.Clone(w[:]))
			}
		}
		out.Readings = append(out.Readings, r)
	}
	for i := range proof.Hidden {
		h := &proof.Hidden[i]
		text := h.Causes[0].String()
		if n := len(h.Causes); n > 1 {
			text += fmt.Sprintf(", and %s that no test tells from it", plural(n-1, "fault"))
		}
		out.Hidden = append(out.Hidden, text)
	}
	return out
}

// Expect says what a sound job gives.
func (r Reading) Expect() string {
	var ways []string
	for _, w := range r.Wants {
		switch {
		case len(w) == 1:
			ways = append(ways, w[0].String())
		case w[0] == w[1]:
			ways = append(ways, w[0].String()+" both times")
		default:
			ways = append(ways, fmt.Sprintf("%v, then %v", w[0], w[1]))
		}
	}
	text := strings.Join(ways, "; or ")
	if r.Moved != nil {
		text = fmt.Sprintf("twice, the handle of %s in %s moved between: %s", r.Moved.Device, r.Moved.Box, text)
	}
	return text
}

// readingTable is the readings of one box, or from box to box.
type readingTable struct {
	Box      string // empty: from box to box
	Lifted   bool
	First    bool // the first with the neutrals lifted
	Readings []Reading
}

// tables sorts readings, which are in order, into tables.
func (r Readings) tables() []readingTable {
	var out []readingTable
	for _, x := range r.Readings {
		box := x.From.Box
		if x.To.Box != box {
			box = ""
		}
		if n := len(out); n == 0 || out[n-1].Box != box || out[n-1].Lifted != x.Lifted {
			out = append(out, readingTable{Box: box, Lifted: x.Lifted, First: x.Lifted && (n == 0 || !out[n-1].Lifted)})
		}
		t := &out[len(out)-1]
		t.Readings = append(t.Readings, x)
	}
	return out
}

// What is said of the readings, before them.
const (
	readingsFirst = "Before the covers go on, everything fitted and landed, or after the walk with the boxes opened again: every circuit of the boxes locked out and tagged, each box proven dead with a tester that was proven before and after. Neutrals on their bar unless it says otherwise; zero the ohmmeter on its leads. Joined is metal, open is nothing, through is a resistance and no metal. A value other than the expected one: stop, do not energize, and find out why."
	readingsLift  = "For these the neutrals of the job come off their bar, every circuit in the panel locked out and proven dead; tag each and put it back before energizing."
)

// says sums the readings up.
func (r Readings) says() string {
	if r.Problem != "" {
		return "Not listed: " + r.Problem + "."
	}
	if r.Faults == 0 {
		return "Every single fault shows in the lights."
	}
	text := fmt.Sprintf("No flip shows %s of the job, and some may be hazards. %s", plural(r.Faults, "single fault"), plural(len(r.Readings), "reading"))
	if r.Fewest {
		text += ", and no fewer,"
	}
	if len(r.Hidden) == 0 {
		return text + " show them all."
	}
	return text + fmt.Sprintf(" show them but for %s.", plural(len(r.Hidden), "sort"))
}

package identify

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/internal/enum"
)

// A Way says where a cable of an open box goes, or a loose conductor of one.
type Way struct {
	Box, Cable string
	Conductor  string // of loose ones
	Kind       WayKind
	// To is the box it goes to; for ToFeed the feed.
	To string
	// As is the cable there, if the box is open, and AsConductor a loose one of it.
	As, AsConductor string
	// Or lists where else it may go, which no test of the boxes can tell from it: boxes,
	// feeds, "onward" and "nowhere", in name order.
	Or []string
}

// A WayKind is a sort of far end. The zero WayKind is unset.
type WayKind uint8

// Where cables go.
const (
	ToBox   WayKind = iota + 1
	ToFeed          // to the panel, as the cable of a feed
	Onward          // to something that is not of the job, which it feeds
	Nowhere         // to an end with nothing on it
)

var wayWords = [...]string{"", "to a box", "to the feed", "onward", "nowhere"}

// String returns the words.
func (k WayKind) String() string { return enum.Word(wayWords[:], k, "WayKind") }

// MarshalText writes the words; an unset value is an error.
func (k WayKind) MarshalText() ([]byte, error) {
	return enum.Marshal("identify", wayWords[:], k, "way")
}

// UnmarshalText reads the words.
func (k *WayKind) UnmarshalText(text []byte) error {
	return enum.Unmarshal("identify", wayWords[:], text, "way", k)
}

// String returns the words: "C1 goes to box lower, where it is C3". The text is for
// reading and not stable.
func (w Way) String() string {
	s := w.goes()
	if len(w.Or) > 0 {
		s += " (or as well: " + strings.Join(w.Or, ", ") + ")"
	}
	return s
}

func (w Way) goes() string {
	name := w.Cable
	if w.Conductor != "" {
		name += "." + w.Conductor
	}
	switch w.Kind {
	case ToBox:
		s := fmt.Sprintf("%s goes to box %s", name, w.To)
		switch {
		case w.As == "" || w.As == w.Cable && w.AsConductor == w.Conductor:
			return s
		case w.AsConductor != "":
			return s + ", where it is " + w.As + "." + w.AsConductor
		}
		return s + ", where it is " + w.As
	case ToFeed:
		return fmt.Sprintf("%s comes from the feed %s", name, w.To)
	case Onward:
		return name + " goes on to something else"
	}
	return name + " ends nowhere"
}

// ways returns where the cables go.
func (c *Case) ways(i int) []Way {
	sp, lay := c.sp, c.all[i].frame.lay
	var out []Way
	for k, u := range sp.units {
		w := Way{Box: sp.open[u.box], Cable: u.cable}
		if u.loose {
			w.Conductor = sp.colour[u.ends[0]]
		}
		far := lay.far[k]
		switch {
		case far < sp.leaf(0):
			w.Kind, w.To = ToBox, sp.place(far)
			if m := lay.mate[u.ends[0]]; m >= 0 {
				v := sp.units[sp.unitOf[m]]
				w.As = v.cable
				if v.loose {
					w.AsConductor = sp.colour[m]
				}
			}
		case far < sp.far(0):
			w.Kind, w.To = ToFeed, sp.feeds[far-sp.leaf(0)].ref.Name
		default:
			w.Kind = Nowhere
			if j := slices.Index(lay.onward, far); j >= 0 && c.all[i].frame.onward[j] >= 0 {
				w.Kind = Onward
			}
		}
		out = append(out, w)
	}
	return out
}

// others adds to where the cables go by one possibility where they go by others.
func (c *Case) others(ways []Way, best int, members []int) {
	sp := c.sp
	name := func(i, k int) string {
		lay := c.all[i].frame.lay
		switch far := lay.far[k]; {
		case far < sp.leaf(0):
			return sp.place(far)
		case far < sp.far(0):
			return sp.feeds[far-sp.leaf(0)].ref.Name
		default:
			if j := slices.Index(lay.onward, far); j >= 0 && c.all[i].frame.onward[j] >= 0 {
				return "onward"
			}
			return "nowhere"
		}
	}
	for k := range ways {
		is := name(best, k)
		for _, i := range members {
			if n := name(i, k); n != is && !slices.Contains(ways[k].Or, n) {
				ways[k].Or = append(ways[k].Or, n)
			}
		}
		slices.Sort(ways[k].Or)
	}
}

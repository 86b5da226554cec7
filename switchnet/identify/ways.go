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
	// Or lists where else it may go, which no test of the boxes can tell from it, even where
	// that makes a loop: boxes, feeds, "onward" and "nowhere", in name order.
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
		s += " (or " + strings.Join(w.Or, ", or ") + ": no test of these boxes tells)"
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
		var or []string
		for _, i := range members {
			or = append(append(or, name(i, k)), c.instead(i, k)...)
		}
		for _, n := range or {
			if n != is && !slices.Contains(ways[k].Or, n) {
				ways[k].Or = append(ways[k].Or, n)
			}
		}
		slices.Sort(ways[k].Or)
	}
}

// instead returns where a unit that goes to a closed box may go as well though that is not
// reckoned with otherwise: to another open box, if a cable made up alike comes from there
// to the same place, conductor for conductor on the same metal, with nothing else on that;
// to the panel, if it has but the hot and the neutral of a feed that comes in there, either
// of which may make a loop; and to a closed box in which there is nothing but a joint.
func (c *Case) instead(i, k int) []string {
	sp, h := c.sp, &c.all[i]
	f, u := h.frame, &sp.units[k]
	p := f.lay.far[k]
	if p < len(sp.open) || p >= sp.leaf(0) || u.place >= 0 {
		return nil
	}
	var out []string
	supply := -1
	for _, e := range u.ends {
		n := h.node[e]
		if n == spareNode {
			continue
		}
		x := &f.nodes[n]
		if x.kind == otherNode || f.feedAt[x.of] != p || supply >= 0 && f.root(x.of) != supply {
			supply = -2
			break
		}
		supply = f.root(x.of)
	}
	for feed := range sp.feeds {
		if supply >= 0 && f.feedAt[feed] == p && f.root(feed) == supply && (u.panel == "" || u.panel == sp.feeds[feed].panel) {
			out = append(out, sp.feeds[feed].ref.Name)
		}
	}
	if u.panel == "" {
		for q := len(sp.open); q < sp.leaf(0); q++ {
			if q != p && c.bare(f, q) {
				out = append(out, sp.place(q))
			}
		}
	}
	for m, v := range sp.units {
		if f.lay.far[m] != p || v.place >= 0 || v.box == u.box || v.loose != u.loose || len(v.ends) != len(u.ends) {
			continue
		}
		alike := !slices.ContainsFunc(u.ends, func(e int) bool {
			t := sp.twin(e, &v)
			return t < 0 || h.node[t] != h.node[e] || h.node[e] != spareNode && !c.through(h, p, int(h.node[e]))
		})
		if alike {
			out = append(out, sp.open[v.box])
		}
	}
	return out
}

// bare reports whether a closed box has nothing in it that anybody knows of, so that what
// goes to another one may have a joint there.
func (c *Case) bare(f *frame, q int) bool {
	sp := c.sp
	if slices.Contains(f.feedAt, q) || slices.Contains(f.lay.far, q) || slices.Contains(f.lay.onward, q) {
		return false
	}
	for _, l := range sp.lights {
		if l.place == q {
			return false
		}
	}
	for _, x := range sp.control {
		if slices.Contains(x.places, q) {
			return false
		}
	}
	return !slices.ContainsFunc(f.lay.runs, func(r run) bool { return r.a == q || r.b == q })
}

// through reports whether a node does nothing in a closed place but lead on from one
// conductor of an open box to another.
func (c *Case) through(h *possibility, p, n int) bool {
	f := h.frame
	if x := &f.nodes[n]; x.kind != otherNode && f.feedAt[x.of] == p || c.g.used(f, n, p) {
		return false
	}
	count := 0
	for k, r := range f.lay.runs {
		if r.a != p && r.b != p || f.nodes[n].runs&(1<<k) == 0 {
			continue
		}
		if r.hidden {
			return false
		}
		for _, e := range r.conds {
			if int(h.node[e]) == n {
				count++
			}
		}
	}
	for i, x := range f.onward {
		if x >= 0 && f.lay.onward[i] == p && (f.hot[x] == n || f.neutral[x] == n) {
			return false
		}
	}
	for _, j := range f.way.joins {
		if j.at&placeSet(p) != 0 && (j.a == n || j.b == n) {
			return false
		}
	}
	return count == 2
}

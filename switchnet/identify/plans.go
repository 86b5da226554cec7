package identify

import (
	"fmt"
	"slices"
	"strings"
)

// A Plan is how a control is wired.
type Plan struct {
	Control string
	Scheme  Scheme
	// Places are the boxes of its switches that act, from the hot to the leg.
	Places []string
	// Feed is the feed it is on, and FeedAt the box in which that comes in, empty if it
	// comes in a cable of its own. Neutral is the feed whose neutral the lights have,
	// empty if it comes by a way that passes none of the open boxes.
	Feed, FeedAt, Neutral string
	// Shares is another feed that has the same neutral, or several with "and" between, and
	// OneLine says that one of them is on the line of this one, so that it carries the sum.
	Shares  string
	OneLine bool
	// ApartFrom is the box from which on its neutral is kept apart from others of the feed;
	// empty if it is not. JoinedIn is a box where it is joined to what it should be kept
	// apart from: to another feed's, JoinedWith, or those of several with "and" between; or,
	// if that is empty, to one of its own.
	ApartFrom, JoinedIn, JoinedWith string
}

// Borrowed reports whether the lights have the neutral of another feed.
func (p Plan) Borrowed() bool { return p.Neutral != "" && p.Neutral != p.Feed }

// Lawful reports whether nothing of it is unlawful as such in the regions that the
// project knows. A neutral that two feeds share is lawful where both open together.
func (p Plan) Lawful() bool {
	return p.Scheme.Lawful() && !p.Borrowed() && !p.OneLine && p.JoinedIn == ""
}

// String returns the words. The text is for reading and not stable.
func (p Plan) String() string {
	s := fmt.Sprintf("%s: %v through %s, fed by %s", p.Control, p.Scheme, strings.Join(p.Places, ", "), p.Feed)
	if p.FeedAt != "" {
		s += " in box " + p.FeedAt
	}
	switch {
	case p.Neutral == "":
		s += ", its neutral comes another way"
	case p.Borrowed():
		s += ", its neutral borrowed from " + p.Neutral
	}
	shared := ", its neutral shared with " + p.Shares
	if p.Neutral != p.Feed {
		shared = ", the neutral of " + p.Feed + " shared with " + p.Shares
	}
	switch {
	case p.Shares != "" && p.OneLine:
		s += shared + " of the same line, whose currents add up in it"
	case p.Shares != "":
		s += shared + ", for which all their breakers must open together"
	}
	if p.ApartFrom != "" {
		s += ", its neutral kept apart from box " + p.ApartFrom + " on"
	}
	switch {
	case p.JoinedWith != "":
		s += ", its neutral joined in box " + p.JoinedIn + " with that of " + p.JoinedWith
	case p.JoinedIn != "":
		s += " and joined again in box " + p.JoinedIn
	}
	if !p.Lawful() {
		s += " (unlawful)"
	}
	return s
}

// plans returns how the controls are wired.
func (c *Case) plans(i int) []Plan {
	f := c.all[i].frame
	var out []Plan
	for k, p := range f.plans {
		x := Plan{Control: c.sp.control[k].name, Scheme: p.scheme, Feed: c.sp.feeds[p.feed].ref.Name, FeedAt: c.sp.place(f.feedAt[p.feed])}
		for _, at := range p.order {
			x.Places = append(x.Places, c.sp.place(at))
		}
		if p.neutral >= 0 {
			x.Neutral = c.sp.feeds[p.neutral].ref.Name
		}
		c.neutrals(f, k, &x)
		out = append(out, x)
	}
	return out
}

// neutrals says in a plan what is unusual about its neutral.
func (c *Case) neutrals(f *frame, k int, x *Plan) {
	sp, p, w := c.sp, &f.plans[k], &f.way
	var with []string
	for i := range f.shares {
		if i != p.feed && f.feedAt[i] >= 0 && f.root(i) == f.root(p.feed) {
			with = append(with, sp.feeds[i].ref.Name)
		}
	}
	x.Shares = strings.Join(with, " and ")
	x.OneLine = f.oneLine(p.feed)
	if p.neutral < 0 {
		return
	}
	root := f.root(p.neutral)
	switch {
	case w.feed == root && w.apart()&(1<<k) != 0:
		x.ApartFrom = sp.place(w.from)
		if w.again >= 0 {
			x.JoinedIn = sp.place(w.again)
		}
	case w.feed == root && w.again >= 0:
		// What comes back through the trunk where the two are joined comes by both.
		if runs, ok := f.lay.along(f.touches(c.g, k) | placeSet(f.feedAt[root])); ok && f.loops(runs) {
			x.JoinedIn = sp.place(w.again)
		}
	case slices.Contains(w.tied, root):
		var others []string
		for _, i := range w.tied {
			if i != root {
				others = append(others, sp.feeds[i].ref.Name)
			}
		}
		x.JoinedIn, x.JoinedWith = sp.place(w.tiedAt), strings.Join(others, " and ")
	}
}

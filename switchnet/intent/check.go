package intent

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/wiring"
)

// maxRun is the longest run, far beyond anything in a building.
const maxRun = 10 * quantity.Kilometer

// checker gathers the problems of an intent.
type checker struct {
	in                   *Intent
	boxes, lights, feeds table
	owners               map[[2]string]wiring.Ref // what has a name in a box
	problems             wiring.Problems
}

// table finds entries by name.
type table struct {
	what  string
	first map[string]int
	names *wiring.Names // made at the first unknown name
}

func newTable(what string) table { return table{what: what, first: map[string]int{}} }

// put enters a name that is not there yet, and returns the entry that has it.
func (t *table) put(name string, i int) (first int, taken bool) {
	first, taken = t.first[name]
	if !taken {
		t.first[name] = i
	}
	return first, taken
}

func (c *checker) add(list string, i int, field string, also *wiring.Ref, format string, args ...any) *wiring.Problem {
	p := &wiring.Problem{At: wiring.Ref{List: list, Index: i, Field: field}, Also: also, Detail: fmt.Sprintf(format, args...)}
	c.problems = append(c.problems, p)
	return p
}

// known checks a name against those that were declared.
func (c *checker) known(t *table, list string, i int, field, name string) {
	if _, ok := t.first[name]; ok && name != "" {
		return
	}
	if t.names == nil {
		t.names = wiring.NewNames(maps.Keys(t.first))
	}
	p := c.add(list, i, field, nil, "there is no %s called %q", t.what, name)
	p.Candidates, p.More = t.names.Near(name)
}

// Check returns everything in the intent that contradicts itself, as
// [wiring.Problems] in the order of its lists (supply, feeds, boxes, lights, runs,
// controls, needs, exemptions, stairs, stock) and of their entries, or nil. Feeds,
// boxes and lights are judged as [wiring.New] judges them; there are no devices yet,
// so a light that is plugged into one is refused. An intent that wants nothing is in order. Time is linear in
// its size but for sorting.
func (in Intent) Check() error {
	c := &checker{in: &in, boxes: newTable("box"), lights: newTable("light"), feeds: newTable("feed"), owners: map[[2]string]wiring.Ref{}}
	_, err := wiring.New(wiring.Spec{Supply: in.Supply, Feeds: in.Feeds, Boxes: in.Boxes, Lights: in.Lights})
	if err != nil && !errors.As(err, &c.problems) {
		return err
	}
	for i, b := range in.Boxes {
		c.boxes.put(b.Name, i)
	}
	for i, f := range in.Feeds {
		if first, ok := c.feeds.put(f.Name, i); ok && in.Feeds[first].Box != f.Box {
			c.add("feeds", i, "name", &wiring.Ref{List: "feeds", Index: first, Field: "name"},
				"a feed called %q is in another box already; needs name feeds without their box", f.Name)
		}
		c.own(f.Box, f.Name, "feeds", i)
	}
	for i, l := range in.Lights {
		if first, ok := c.lights.put(l.Name, i); ok && in.Lights[first].Box != l.Box {
			c.add("lights", i, "name", &wiring.Ref{List: "lights", Index: first, Field: "name"},
				"a light called %q is in another box already; controls name lights without their box", l.Name)
		}
		c.own(l.Box, l.Name, "lights", i)
	}
	c.runs()
	c.controls()
	c.needs()
	c.exemptions()
	c.stairs()
	c.stock()
	if len(c.problems) > 0 {
		c.problems.Sort()
		return c.problems
	}
	return nil
}

func (c *checker) own(box, name, list string, i int) {
	key := [2]string{box, name}
	if _, ok := c.owners[key]; !ok {
		c.owners[key] = wiring.Ref{List: list, Index: i, Field: "name"}
	}
}

func (c *checker) runs() {
	// A run is what it joins, in either direction, and what can be laid there.
	type run struct {
		boxes   [2]string
		raceway bool
		cable   string
		length  quantity.Length
	}
	seen := map[run]int{}
	for i, r := range c.in.Runs {
		c.known(&c.boxes, "runs", i, "from", r.From)
		c.known(&c.boxes, "runs", i, "to", r.To)
		if r.From == r.To {
			c.add("runs", i, "to", nil, "a run goes from box %q to itself", r.From)
		}
		if r.Length <= 0 || r.Length > maxRun {
			c.add("runs", i, "length", nil, "the run from %q to %q is %v long; a run is longer than nothing and no longer than %v", r.From, r.To, r.Length, maxRun)
		}
		if slices.ContainsFunc(r.Bored, func(d quantity.Length) bool { return d <= 0 || d > wiring.MaxEdge }) {
			c.add("runs", i, "bored", nil, "the run from %q to %q has a hole that is no way from an edge, or farther than framing is deep; a hole has more than nothing to its edge and at most %v, or is a notch", r.From, r.To, wiring.MaxEdge)
		}
		if n := len(r.Bored); n > wiring.MaxBores || r.Notches < 0 || r.Notches > wiring.MaxBores {
			c.add("runs", i, "notches", nil, "the run from %q to %q has %d holes and %d notches; it has 0 to %d of each", r.From, r.To, n, r.Notches, wiring.MaxBores)
		}
		key := run{[2]string{min(r.From, r.To), max(r.From, r.To)}, r.Raceway, r.Cable.Name, r.Length}
		if k, ok := seen[key]; ok {
			c.add("runs", i, "", &wiring.Ref{List: "runs", Index: k}, "the run between %q and %q is listed twice", r.From, r.To)
		} else {
			seen[key] = i
		}
		if r.fixed() {
			if err := r.Cable.Check(); err != nil {
				c.add("runs", i, "cable", nil, "%v", err)
			}
			if r.Raceway {
				c.add("runs", i, "raceway", nil, "the run from %q to %q is a raceway and for a given cable; it is one of them", r.From, r.To)
			}
		} else if r.Existing {
			c.add("runs", i, "existing", nil, "the run from %q to %q has a cable already, and it is not said of what type; name it as its cable", r.From, r.To)
		}
	}
}

func (c *checker) controls() {
	names := newTable("control")
	of := map[string]int{}      // the control of each light
	lights := map[[2]int]bool{} // the lights of each control, and its places
	places := map[[2]int]bool{}
	for i, g := range c.in.Controls {
		if err := wiring.CheckName(g.Name); err != nil {
			c.add("controls", i, "name", nil, "%v", err)
		} else if g.Name == "box" {
			c.add("controls", i, "name", nil, "a control cannot be called %q, which stands for the grounding screw of a box", g.Name)
		} else if first, ok := names.put(g.Name, i); ok {
			c.add("controls", i, "name", &wiring.Ref{List: "controls", Index: first, Field: "name"}, "a control called %q exists already", g.Name)
		}
		if len(g.Lights) == 0 {
			c.add("controls", i, "lights", nil, "control %q switches no light", g.Name)
		}
		if len(g.Places) == 0 {
			c.add("controls", i, "places", nil, "control %q is worked from nowhere", g.Name)
		}
		if g.Feed != "" {
			c.known(&c.feeds, "controls", i, "feed", g.Feed)
		}
		for k, s := range g.Schemes {
			field := fmt.Sprintf("schemes %d", k)
			if s < Chain || s > JoinedCommons {
				c.add("controls", i, field, nil, "control %q is to be wired by no scheme; it is chain or joined commons", g.Name)
			} else if slices.Contains(g.Schemes[:k], s) {
				c.add("controls", i, field, nil, "control %q lists the scheme %v twice", g.Name, s)
			}
		}
		for k, l := range g.Lights {
			field := fmt.Sprintf("lights %d", k)
			c.known(&c.lights, "controls", i, field, l)
			n, ok := c.lights.first[l]
			if !ok {
				continue
			}
			if lights[[2]int{i, n}] {
				c.add("controls", i, field, nil, "control %q lists light %q twice", g.Name, l)
				continue
			}
			lights[[2]int{i, n}] = true
			if j, taken := of[l]; taken {
				c.add("controls", i, field, &wiring.Ref{List: "controls", Index: j, Field: "lights"},
					"light %q is in control %q already; a light has one control", l, c.in.Controls[j].Name)
				continue
			}
			of[l] = i
		}
		for k, p := range g.Places {
			field := fmt.Sprintf("places %d", k)
			c.known(&c.boxes, "controls", i, field, p)
			n, ok := c.boxes.first[p]
			if !ok {
				continue
			}
			if places[[2]int{i, n}] {
				c.add("controls", i, field, nil, "control %q lists place %q twice", g.Name, p)
				continue
			}
			places[[2]int{i, n}] = true
			if at, ok := c.owners[[2]string{p, g.Name}]; ok && g.Name != "" {
				c.add("controls", i, field, &at, "box %q has something called %q already, and the switch of the control bears that name; rename one", p, g.Name)
			}
		}
	}
}

func (c *checker) needs() {
	for i, n := range c.in.Needs {
		c.known(&c.boxes, "needs", i, "box", n.Box)
		if n.Kind < UnswitchedPower || n.Kind > SpareConductor {
			c.add("needs", i, "kind", nil, "it is not said what box %q needs; it is power, neutral or spare", n.Box)
		}
		if n.Feed != "" {
			c.known(&c.feeds, "needs", i, "feed", n.Feed)
		}
	}
}

func (c *checker) exemptions() {
	seen := map[string]int{}
	for i, e := range c.in.Exemptions {
		c.known(&c.boxes, "exemptions", i, "box", e.Box)
		if e.By == "" {
			c.add("exemptions", i, "by", nil, "it is not said why box %q needs no neutral", e.Box)
		}
		if first, ok := seen[e.Box]; ok {
			c.add("exemptions", i, "box", &wiring.Ref{List: "exemptions", Index: first, Field: "box"}, "box %q is exempt already", e.Box)
			continue
		}
		seen[e.Box] = i
	}
}

func (c *checker) stairs() {
	seen := map[string]int{}
	for i, s := range c.in.Stairs {
		if s.Name == "" {
			c.add("stairs", i, "name", nil, "the stair has no name")
		} else if first, ok := seen[s.Name]; ok {
			c.add("stairs", i, "name", &wiring.Ref{List: "stairs", Index: first, Field: "name"}, "a stair called %q is there already", s.Name)
		} else {
			seen[s.Name] = i
		}
		if s.Risers < 1 {
			c.add("stairs", i, "risers", nil, "stair %q has %d risers; count them", s.Name, s.Risers)
		}
		if len(s.Levels) < 2 {
			c.add("stairs", i, "levels", nil, "stair %q has %d levels; name a box at each of the levels that it joins", s.Name, len(s.Levels))
		}
		c.each(&c.boxes, "stairs", i, "levels", s.Name, s.Levels)
		c.each(&c.lights, "stairs", i, "lights", s.Name, s.Lights)
	}
}

// each checks a list of names of a stair: known, and none of them twice.
func (c *checker) each(t *table, list string, i int, field, of string, names []string) {
	seen := make(map[string]bool, len(names))
	for k, n := range names {
		at := fmt.Sprintf("%s %d", field, k)
		c.known(t, list, i, at, n)
		if _, ok := t.first[n]; ok && seen[n] {
			c.add(list, i, at, nil, "stair %q lists %s %q twice", of, t.what, n)
		}
		seen[n] = true
	}
}

func (c *checker) stock() {
	seen := map[string]int{}
	for i, s := range c.in.Stock {
		if err := s.Cable.Check(); err != nil {
			c.add("stock", i, "cable", nil, "%v", err)
		}
		if first, ok := seen[s.Cable.Name]; ok {
			c.add("stock", i, "cable", &wiring.Ref{List: "stock", Index: first, Field: "cable"}, "cable %q is in the stock already", s.Cable.Name)
		} else {
			seen[s.Cable.Name] = i
		}
		if s.Weight < 0 || s.Weight > maxWeight {
			c.add("stock", i, "weight", nil, "cable %q has a weight of %s; it is above zero and not above %s", s.Cable.Name, s.Weight.Factor(), maxWeight.Factor())
		}
		if (s.Weight == 0) != (c.in.Stock[0].Weight == 0) {
			c.add("stock", i, "weight", &wiring.Ref{List: "stock", Index: 0}, "some cables of the stock have a weight and some have none; give all of them one, or none")
		}
	}
}

// maxWeight keeps every sum of weights within its type.
const maxWeight = 1000 * quantity.Whole

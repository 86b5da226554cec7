package intent

import (
	"fmt"
	"maps"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/wiring"
)

// checker gathers the problems of an intent.
type checker struct {
	in       *Intent
	boxes    map[string]int
	lights   map[string]int
	names    map[string][]string // for messages, by what they are names of
	problems wiring.Problems
}

func (c *checker) add(list string, i int, field string, also *wiring.Ref, format string, args ...any) *wiring.Problem {
	p := &wiring.Problem{At: wiring.Ref{List: list, Index: i, Field: field}, Also: also, Detail: fmt.Sprintf(format, args...)}
	c.problems = append(c.problems, p)
	return p
}

// known checks a name against those that were declared.
func (c *checker) known(names map[string]int, what, list string, i int, field, name string) {
	if _, ok := names[name]; ok {
		return
	}
	if c.names[what] == nil {
		c.names[what] = slices.Sorted(maps.Keys(names))
	}
	c.add(list, i, field, nil, "there is no %s called %q", what, name).Candidates = c.names[what]
}

// Check returns everything in the intent that contradicts itself, as
// [wiring.Problems] in the order of its lists and entries, or nil. Feeds, boxes and
// lights are judged as [wiring.New] judges them.
func (in Intent) Check() error {
	c := &checker{in: &in, boxes: map[string]int{}, lights: map[string]int{}, names: map[string][]string{}}
	_, err := wiring.New(wiring.Spec{Supply: in.Supply, Feeds: in.Feeds, Boxes: in.Boxes, Lights: in.Lights})
	if ps, ok := err.(wiring.Problems); ok {
		c.problems = append(c.problems, ps...)
	} else if err != nil {
		return err
	}
	for i, b := range in.Boxes {
		if _, ok := c.boxes[b.Name]; !ok {
			c.boxes[b.Name] = i
		}
	}
	for i, l := range in.Lights {
		if first, ok := c.lights[l.Name]; ok && in.Lights[first].Box != l.Box {
			c.add("lights", i, "name", &wiring.Ref{List: "lights", Index: first, Field: "name"},
				"a light called %q is in another box already; controls name lights without their box", l.Name)
		} else if !ok {
			c.lights[l.Name] = i
		}
	}
	c.runs()
	c.controls()
	feeds := map[string]int{}
	for i, f := range in.Feeds {
		feeds[f.Name] = i
	}
	for i, n := range in.Needs {
		c.known(c.boxes, "box", "needs", i, "box", n.Box)
		if n.Kind < UnswitchedPower || n.Kind > SpareConductor {
			c.add("needs", i, "kind", nil, "it is not said what box %q needs; it is power, neutral or spare", n.Box)
		}
		if n.Feed != "" {
			c.known(feeds, "feed", "needs", i, "feed", n.Feed)
		}
	}
	if len(c.problems) > 0 {
		c.problems.Sort()
		return c.problems
	}
	return nil
}

// A way is what makes two runs the same.
type way struct {
	a, b    string
	length  quantity.Length
	cable   string
	raceway bool
}

func (c *checker) runs() {
	listed := map[way]int{}
	for i, r := range c.in.Runs {
		c.known(c.boxes, "box", "runs", i, "from", r.From)
		c.known(c.boxes, "box", "runs", i, "to", r.To)
		if r.From == r.To {
			c.add("runs", i, "to", nil, "a run goes from box %q to itself", r.From)
		}
		if r.Length <= 0 {
			c.add("runs", i, "length", nil, "the run from %q to %q has no length; a run is longer than nothing", r.From, r.To)
		}
		same := way{min(r.From, r.To), max(r.From, r.To), r.Length, r.Cable.Name, r.Raceway}
		if k, ok := listed[same]; ok {
			c.add("runs", i, "", &wiring.Ref{List: "runs", Index: k}, "the run between %q and %q is listed twice", r.From, r.To)
		} else {
			listed[same] = i
		}
		if r.Cable.Name != "" {
			if err := r.Cable.Check(); err != nil {
				c.add("runs", i, "cable", nil, "%v", err)
			}
			if r.Raceway {
				c.add("runs", i, "raceway", nil, "a run is either a raceway or for a given cable")
			}
		}
	}
}

func (c *checker) controls() {
	names := map[string]int{}
	control := map[string]int{} // by light, the first that lists it
	for i, g := range c.in.Controls {
		if g.Name == "" {
			c.add("controls", i, "name", nil, "has no name")
		} else if first, ok := names[g.Name]; ok {
			c.add("controls", i, "name", &wiring.Ref{List: "controls", Index: first, Field: "name"}, "a control called %q exists already", g.Name)
		} else {
			names[g.Name] = i
		}
		if len(g.Lights) == 0 {
			c.add("controls", i, "lights", nil, "control %q switches no light", g.Name)
		}
		if len(g.Places) == 0 {
			c.add("controls", i, "places", nil, "control %q is worked from nowhere", g.Name)
		}
		for k, l := range g.Lights {
			field := fmt.Sprintf("lights %d", k)
			c.known(c.lights, "light", "controls", i, field, l)
			first, ok := control[l]
			switch {
			case ok && first == i:
				c.add("controls", i, field, nil, "control %q lists light %q twice", g.Name, l)
			case ok:
				c.add("controls", i, field, &wiring.Ref{List: "controls", Index: first, Field: "lights"},
					"light %q is in control %q already; a light has one control", l, c.in.Controls[first].Name)
			default:
				control[l] = i
			}
		}
		places := map[string]bool{}
		for k, p := range g.Places {
			c.known(c.boxes, "box", "controls", i, fmt.Sprintf("places %d", k), p)
			if places[p] {
				c.add("controls", i, fmt.Sprintf("places %d", k), nil, "control %q lists place %q twice", g.Name, p)
			}
			places[p] = true
		}
	}
}

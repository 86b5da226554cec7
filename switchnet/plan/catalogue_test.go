package plan_test

import (
	"context"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

const (
	device  = wiring.DeviceBox
	ceiling = wiring.CeilingBox
)

// Rows of the usual ways to lay out lights and switches, each with what every run has
// to hold beside its ground: h for hot, n neutral, l leg, t traveler, c common, s spare.
var catalogue = []struct {
	why  string
	in   *sketch
	runs []string // by run of the sketch; cables of one run with + between them
}{
	{"feed, two three-ways, light: neutral everywhere on the fewest conductors",
		newSketch("s1").box(device, "s1", "s2").box(ceiling, "c").run("s1", "s2", 10).run("s2", "c", 10).
			light("l", "c").control("g", []string{"l"}, "s1", "s2"),
		[]string{"ntt", "nl"}},
	{"any number of four-ways between takes two travelers and the neutral",
		newSketch("s1").box(device, "s1", "s2", "s3", "s4").box(ceiling, "c").run("s1", "s2", 10).run("s2", "s3", 10).run("s3", "s4", 10).run("s4", "c", 10).
			light("l", "c").control("g", []string{"l"}, "s1", "s2", "s3", "s4"),
		[]string{"ntt", "ntt", "ntt", "nl"}},
	{"feed and light at one switch, the other a dead end: hot or leg goes along",
		newSketch("s1").box(device, "s1", "s2").box(ceiling, "c").run("s1", "s2", 10).run("s1", "c", 10).
			light("l", "c").control("g", []string{"l"}, "s1", "s2"),
		[]string{"nltt", "nl"}},
	{"the same where no neutral is wanted, on a three-wire cable with the white a traveler",
		newSketch("s1").box(device, "s1", "s2").box(ceiling, "c").run("s1", "s2", 10).run("s1", "c", 10).
			light("l", "c").control("g", []string{"l"}, "s1", "s2").exempt("s1", "s2"),
		[]string{"ltt", "nl"}},
	{"feed at the light: hot down, leg back, then the pair with the leg that comes back",
		newSketch("c").box(ceiling, "c").box(device, "s1", "s2").run("c", "s1", 10).run("s1", "s2", 10).
			light("l", "c").control("g", []string{"l"}, "s1", "s2").exempt("s1", "s2"),
		[]string{"hl", "ltt"}},
	{"feed at the light, both switches dead ends off it",
		newSketch("c").box(ceiling, "c").box(device, "s1", "s2").run("c", "s1", 10).run("c", "s2", 10).
			light("l", "c").control("g", []string{"l"}, "s1", "s2").exempt("s1", "s2"),
		[]string{"htt", "ltt"}},
	{"travelers that pass the light",
		newSketch("s1").box(device, "s1", "s2").box(ceiling, "c").run("s1", "c", 10).run("c", "s2", 10).
			light("l", "c").control("g", []string{"l"}, "s1", "s2"),
		[]string{"ntt", "nltt"}},
	{"feed in the centre, the ends dead",
		newSketch("m").box(device, "m", "a", "b").box(ceiling, "c").run("m", "a", 10).run("m", "b", 10).run("m", "c", 10).
			light("l", "c").control("g", []string{"l"}, "a", "m", "b").exempt("m", "a", "b"),
		[]string{"htt", "ltt", "nl"}},
	{"lights at both ends of the chain: four is the least",
		newSketch("s1").box(device, "s1", "s2").box(ceiling, "c1", "c2").run("s1", "s2", 10).run("s1", "c1", 10).run("s2", "c2", 10).
			light("l1", "c1").light("l2", "c2").control("g", []string{"l1", "l2"}, "s1", "s2"),
		[]string{"nltt", "nl", "nl"}},
	{"several lights with the feed at the far one: hot, leg and neutral between them",
		newSketch("c2").box(ceiling, "c2", "c1").box(device, "s").run("c2", "c1", 10).run("c1", "s", 10).
			light("l1", "c1").light("l2", "c2").control("g", []string{"l1", "l2"}, "s"),
		[]string{"hnl", "hnl"}},
	{"power beyond the chain: the hot goes along",
		power(newSketch("s1").box(device, "s1", "s2", "r").box(ceiling, "c").run("s1", "s2", 10).run("s2", "r", 10).run("s2", "c", 10).
			light("l", "c").control("g", []string{"l"}, "s1", "s2"), "r"),
		[]string{"hntt", "hn", "nl"}},
	{"power and lights at both ends: five, so a second cable with a hot and neutral of its own",
		power(newSketch("s1").box(device, "s1", "s2", "r").box(ceiling, "c1", "c2").run("s1", "s2", 10).run("s2", "r", 10).run("s1", "c1", 10).run("s2", "c2", 10).
			light("l1", "c1").light("l2", "c2").control("g", []string{"l1", "l2"}, "s1", "s2"), "r"),
		[]string{"nltt+hn", "hn", "nl", "nl"}},
	{"the same with joined commons fits four",
		joined(power(newSketch("s1").box(device, "s1", "s2", "r").box(ceiling, "c1", "c2").run("s1", "s2", 10).run("s2", "r", 10).run("s1", "c1", 10).run("s2", "c2", 10).
			light("l1", "c1").light("l2", "c2").control("g", []string{"l1", "l2"}, "s1", "s2"), "r")),
		[]string{"hnlc", "hn", "nl", "nl"}},
	{"two chains between two gangs on one circuit: two cables that balance",
		newSketch("a").box(device, "a", "b").box(ceiling, "c1", "c2").run("a", "b", 10).run("b", "c1", 10).run("b", "c2", 10).
			light("l1", "c1").light("l2", "c2").control("g1", []string{"l1"}, "a", "b").control("g2", []string{"l2"}, "a", "b"),
		[]string{"ntt+ntt", "nl", "nl"}},
	{"one switch, fed at the switch", newSketch("s").box(device, "s").box(ceiling, "c").run("s", "c", 10).
		light("l", "c").control("g", []string{"l"}, "s"), []string{"nl"}},
	{"one switch, fed at the light, no neutral wanted: the white brings the hot", newSketch("c").box(device, "s").box(ceiling, "c").run("c", "s", 10).
		light("l", "c").control("g", []string{"l"}, "s").exempt("s"), []string{"hl"}},
	{"a spare is a conductor of its own", spare(newSketch("s").box(device, "s").box(ceiling, "c").run("s", "c", 10).
		light("l", "c").control("g", []string{"l"}, "s"), "c"), []string{"nls"}},
}

func power(s *sketch, box string) *sketch {
	s.Needs = append(s.Needs, intent.Need{Box: box, Kind: intent.UnswitchedPower, For: "an outlet"})
	return s
}

func spare(s *sketch, box string) *sketch {
	s.Needs = append(s.Needs, intent.Need{Box: box, Kind: intent.SpareConductor, For: "a fan"})
	return s
}

func joined(s *sketch) *sketch {
	for i := range s.Controls {
		s.Controls[i].Schemes = intent.Schemes()
	}
	return s
}

func TestCatalogue(t *testing.T) {
	us := region(t, "us-2023")
	for _, row := range catalogue {
		t.Run(row.why, func(t *testing.T) {
			p, err := plan.New(context.Background(), row.in.Intent, us, nil)
			if err != nil {
				t.Fatal(err)
			}
			if p.Status != plan.Optimal {
				t.Fatal(p.Status, p.Lacks)
			}
			if what := unsound(row.in.Intent, us, p); len(what) > 0 {
				t.Fatal(what)
			}
			for i, want := range row.runs {
				var got []string
				for _, c := range p.Cables {
					if c.Run == i {
						got = append(got, carries(c))
					}
				}
				if s := strings.Join(got, "+"); s != want {
					t.Errorf("run %d holds %s, want %s\n%s", i, s, want, shown(p))
				}
			}
		})
	}
}

// carries returns the first letters of what a cable's conductors do, in a fixed order.
func carries(c plan.Cable) string {
	out := ""
	for _, does := range []string{"hot", "neutral", "switch leg", "traveler", "common", "spare"} {
		for _, k := range c.Conductors {
			if k.Does == does {
				letter := does[:1]
				if does == "switch leg" {
					letter = "l"
				}
				out += letter
			}
		}
	}
	return out
}

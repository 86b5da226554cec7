package draw

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// generator throws wirings together by choices, right and wrong ones alike: names
// that nobody would want, cables with ends landed, spliced, capped or left anywhere.
type generator struct {
	choose  func(n int) int // from 0 to n-1; the first choice is the plainest
	s       wiring.Spec
	terms   map[string][]wiring.Joint
	splices map[string][]int
	names   map[string]bool
}

// tester is what the helpers need of a test, be it one of package testing or of rapid.
type tester interface {
	Helper()
	Errorf(format string, args ...any)
	Fatal(args ...any)
	Fatalf(format string, args ...any)
}

// limits say how large a drawn wiring gets at most.
type limits struct{ boxes, cables, devices int }

var ordinary = limits{boxes: 5, cables: 8, devices: 5}

// seeded returns choices drawn evenly from a seed.
func seeded(seed uint64) func(n int) int { return rand.New(rand.NewPCG(seed, 7)).IntN }

// spelled returns choices that bytes spell; when they run out every choice is the
// first.
func spelled(data []byte) func(n int) int {
	return func(n int) int {
		if len(data) == 0 {
			return 0
		}
		v := int(data[0]) % n
		data = data[1:]
		return v
	}
}

func pick[T any](g *generator, list []T) T { return list[g.choose(len(list))] }

func (g *generator) maybe(outOf int) bool { return g.choose(outOf) == outOf-1 }

// oddities are names as a hostile or a far-off job has them.
var oddities = []string{
	"<script>alert(1)</script>", `a & b "quoted" 'twice'`, "דלת המחסן", "باب المخزن", "階段の下の箱", "n\u0301\u0302\u0303\u0304\u0305\u0306ame",
	"]]>", "=cmd()", strings.Repeat("W", 200), strings.Repeat("long name ", 19) + "1", strings.Repeat("long name ", 19) + "2", "𒐫𒐫𒐫", "👷 box",
}

// name returns a name that is not taken: usually a short one.
func (g *generator) name(stem string) string {
	n := fmt.Sprintf("%s %d", stem, len(g.names))
	if g.maybe(8) {
		if odd := pick(g, oddities); !g.names[odd] {
			n = odd
		}
	}
	g.names[n] = true
	return n
}

// draw returns a wiring that contradicts itself nowhere.
func drawWiring(tb tester, choose func(n int) int, lim limits) *wiring.Wiring {
	tb.Helper()
	if choose(3) == 2 {
		return miswired(tb, choose)
	}
	g := &generator{choose: choose, terms: map[string][]wiring.Joint{}, splices: map[string][]int{}, names: map[string]bool{}}
	g.s.Supply = pick(g, []switchnet.System{switchnet.SplitPhase(), switchnet.Wye120(), switchnet.SinglePhase230()})
	g.boxes(lim)
	g.devices(lim)
	g.lights()
	g.cables(lim)
	g.words()
	w, err := wiring.New(g.s)
	if err != nil {
		tb.Fatalf("the generator made a wiring that contradicts itself: %v", err)
	}
	return w
}

// miswired returns a chain of two to four places with a few mistakes made in it.
func miswired(tb tester, choose func(n int) int) *wiring.Wiring {
	w, _ := long(tb, 2+choose(3))
	if choose(2) == 1 {
		s := w.Spec()
		for i := range s.Boxes {
			s.Boxes[i].Placed = true
			s.Boxes[i].At = [3]quantity.Length{quantity.Length(i*3+choose(3)) * quantity.Meter, quantity.Length(choose(4)) * quantity.Meter}
		}
		var err error
		if w, err = wiring.New(s); err != nil {
			tb.Fatal(err)
		}
	}
	for range choose(5) {
		s := w.Spec()
		l, m := s.Landings[choose(len(s.Landings))], s.Landings[choose(len(s.Landings))]
		edit := []wiring.Edit{
			wiring.SwapLandings{Box: l.Box, A: l.Wire, B: m.Wire},
			wiring.MoveLanding{End: wiring.End{Box: l.Box, Wire: l.Wire}, Device: m.Device, Terminal: m.Terminal},
			wiring.Cut{Wire: l.Wire},
			wiring.TieJoints{Box: l.Box, A: wiring.Joint{Wire: l.Wire}, B: wiring.Joint{Device: m.Device, Terminal: m.Terminal}},
			wiring.CapEnd{End: wiring.End{Box: l.Box, Wire: l.Wire}},
		}[choose(5)]
		// A mistake that cannot be made is none.
		if after, err := w.Apply(edit); err == nil {
			w = after
		}
	}
	return w
}

func (g *generator) term(box, device string, names ...string) {
	for _, n := range names {
		g.terms[box] = append(g.terms[box], wiring.Joint{Device: device, Terminal: n})
	}
}

func (g *generator) boxes(lim limits) {
	kinds := []wiring.BoxKind{wiring.DeviceBox, wiring.CeilingBox, wiring.JunctionBox}
	g.s.Boxes = []wiring.Box{{Name: g.name("panel"), Kind: wiring.Panel}}
	for range 1 + g.choose(lim.boxes) {
		b := wiring.Box{Name: g.name("box"), Kind: pick(g, kinds), Metal: g.maybe(4), Gangs: g.choose(5)}
		if g.maybe(6) {
			b.Location = pick(g, append([]string{"behind the door"}, oddities...))
		}
		g.s.Boxes = append(g.s.Boxes, b)
		if b.Metal {
			g.term(b.Name, "box", "ground")
		}
	}
	if g.maybe(2) {
		for i := range g.s.Boxes {
			b := &g.s.Boxes[i]
			b.Placed = !g.maybe(12)
			b.At = [3]quantity.Length{quantity.Length(g.choose(12)) * quantity.Meter, quantity.Length(g.choose(6)) * quantity.Meter, quantity.Length(g.choose(3)) * quantity.Meter}
		}
	}
	for range 1 + g.choose(2) {
		f := wiring.Feed{Name: g.name("feed"), Box: g.s.Boxes[0].Name, Breaker: 15 * quantity.Ampere, Poles: 1 + g.choose(g.s.Supply.Lines)}
		if f.Poles == 1 {
			f.Lines = []switchnet.Rail{switchnet.Rail(1 + g.choose(g.s.Supply.Lines))}
			g.term(f.Box, f.Name, "hot")
		} else {
			for p := range f.Poles {
				g.term(f.Box, f.Name, fmt.Sprintf("hot %d", p+1))
			}
		}
		g.term(f.Box, f.Name, "neutral", "ground")
		g.s.Feeds = append(g.s.Feeds, f)
	}
}

func (g *generator) box() string { return pick(g, g.s.Boxes).Name }

func (g *generator) devices(lim limits) {
	kinds := slices.DeleteFunc(switchnet.Kinds(), func(k switchnet.Kind) bool { return k.Breaker })
	slices.SortStableFunc(kinds, func(a, b switchnet.Kind) int { return len(a.Terminals) - len(b.Terminals) })
	for range g.choose(lim.devices + 1) {
		k := pick(g, kinds)
		d := wiring.Device{Name: g.name("device"), Box: g.box(), Kind: k, Yoke: pick(g, []string{"", "", "yoke"})}
		g.s.Devices = append(g.s.Devices, d)
		g.term(d.Box, d.Name, k.Terminals...)
		g.term(d.Box, d.Name, "ground")
	}
}

func (g *generator) lights() {
	for range 1 + g.choose(3) {
		l := wiring.Light{Name: g.name("light"), Box: g.box(), Power: quantity.Power(g.choose(3)) * 10 * quantity.Watt}
		if len(g.s.Devices) > 0 && g.maybe(4) {
			d := pick(g, g.s.Devices)
			l.Box, l.On, l.Ends = d.Box, d.Name, [2]string{d.Kind.Terminals[0], d.Kind.Terminals[1]}
		} else {
			g.term(l.Box, l.Name, "hot", "neutral", "ground")
		}
		g.s.Lights = append(g.s.Lights, l)
	}
}

// cableTypes returns the cables that are drawn, the plainest first.
func cableTypes() []conductor.CableType {
	var out []conductor.CableType
	for _, name := range []string{"14/2", "14/3", "14/4", "12/2", "12/3 metal-clad", "14/2 without ground", "1.5 mm2 twin and earth",
		"loose 14 AWG 90 C black white/red purple green/yellow yellow orange brown pink gray blue"} {
		t, err := conductor.ParseCableType(name)
		if err != nil {
			panic(err)
		}
		out = append(out, t)
	}
	return out
}

var allCables = cableTypes()

func (g *generator) cables(lim limits) {
	for range 1 + g.choose(lim.cables) {
		c := wiring.Cable{Name: g.name("C"), Type: pick(g, allCables), Length: quantity.Length(g.choose(4)) * quantity.Meter}
		if !strings.Contains(c.Name, "<") {
			c.Name = strings.ReplaceAll(c.Name, "C ", "C")
		}
		from := g.choose(len(g.s.Boxes))
		to := (from + 1 + g.choose(len(g.s.Boxes)-1)) % len(g.s.Boxes)
		c.From, c.To = g.s.Boxes[from].Name, g.s.Boxes[to].Name
		if g.maybe(8) {
			c.To = ""
		}
		g.s.Cables = append(g.s.Cables, c)
		for _, box := range []string{c.From, c.To} {
			if box != "" {
				g.ends(box, &c)
			}
		}
	}
}

func (g *generator) ends(box string, c *wiring.Cable) {
	for _, core := range c.Type.Cores {
		w := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
		terms := g.terms[box]
		switch n := g.choose(8); {
		case n < 3 && len(terms) > 0:
			t := pick(g, terms)
			g.s.Landings = append(g.s.Landings, wiring.Landing{Box: box, Device: t.Device, Terminal: t.Terminal, Wire: w})
		case n < 6:
			g.join(box, w, terms)
		case n == 6:
			g.s.Caps = append(g.s.Caps, wiring.Cap{Box: box, Wire: w})
		}
	}
}

// join puts a wire in a splice of a box, and perhaps a terminal with it.
func (g *generator) join(box string, w wiring.Wire, terms []wiring.Joint) {
	at := g.splices[box]
	if len(at) == 0 || g.maybe(2) {
		g.splices[box] = append(at, len(g.s.Splices))
		g.s.Splices = append(g.s.Splices, wiring.Splice{Box: box})
		at = g.splices[box]
	}
	sp := &g.s.Splices[pick(g, at)]
	sp.Join = append(sp.Join, wiring.Joint{Wire: w})
	if len(terms) > 0 && g.maybe(2) {
		if t := pick(g, terms); !slices.Contains(sp.Join, t) {
			sp.Join = append(sp.Join, t)
		}
	}
}

// words marks, tags, breaks and ties some wires, and puts in a jumper.
func (g *generator) words() {
	s := &g.s
	s.Splices = slices.DeleteFunc(s.Splices, func(sp wiring.Splice) bool { return len(sp.Join) == 0 })
	for _, b := range s.Boxes {
		if t := g.terms[b.Name]; len(t) > 2 && g.maybe(3) {
			i := g.choose(len(t) - 1)
			s.Splices = append(s.Splices, wiring.Splice{Box: b.Name, Join: []wiring.Joint{t[i], t[i+1]}})
		}
	}
	for i := range s.Cables {
		c := &s.Cables[i]
		for _, core := range c.Type.Cores {
			w := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
			switch g.choose(16) {
			case 15:
				s.Opens = append(s.Opens, w)
			case 14:
				s.Marks = append(s.Marks, wiring.Mark{Box: c.From, Wire: w, As: conductor.Plain(conductor.Red)})
			case 13:
				s.Tags = append(s.Tags, wiring.Tag{Box: c.From, Wire: w, Text: "a tag"})
			case 12:
				s.Tags = append(s.Tags, wiring.Tag{Box: c.From, Wire: w, Text: pick(g, oddities)})
			case 11:
				if t := g.terms[c.From]; len(t) > 0 {
					s.Ties = append(s.Ties, wiring.Tie{Box: c.From, A: wiring.Joint{Wire: w}, B: pick(g, t)})
				}
			}
		}
	}
}

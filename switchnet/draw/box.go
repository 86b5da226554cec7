package draw

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// boxSheet is what the picture of a box shows, before anything has a place.
type boxSheet struct {
	d     *Drawer
	words func(string) string
	name  string
	has   *held
	// heading is what stands above the box, in place of its name.
	heading string
	cables  []sheetCable
	ends    []sheetEnd // of all cables, in their order
	blocks  []*block
	notes   []string
	leads   []lead
	index   map[wiring.Wire]int // in ends
	touch   map[string]string   // what is touched, by the name of a joint: "touches a"
}

type sheetCable struct {
	name, kind, toward string
	first, last        int // ends[first:last]
}

// sheetEnd is the end of a wire in the box.
type sheetEnd struct {
	wire   wiring.Wire
	colour conductor.Colour
	mark   conductor.Colour // zero if it is not marked
	tag    string
	says   string // what the conductor does
	brief  string // the same in a word or two
	plain  bool   // it is for the ground and does that
	open   bool
	// to is the pin it ends on; set when the blocks are made.
	to string
}

// block is a thing in the box on which wires end: a splice, a device, a light, what
// is capped.
type block struct {
	kind blockKind
	head string   // bold
	says []string // below it
	rows []*row
}

type blockKind uint8

const (
	splice blockKind = iota + 1
	device
	capped
	loose
)

// row is a line of a block: something on which at most one wire ends from the left
// and at most one pigtail from the right.
type row struct {
	name   string // the pin's
	strong string // bold, first
	text   string
	wire   int    // in boxSheet.ends, or -1
	right  string // the name of the pin on the right, or empty
}

// lead is a pigtail or the lead of a light, from the pin of a splice to that of a
// terminal.
type lead struct {
	from, to string
	ground   bool
}

// Box returns the picture of one box: its cables with their conductors in the colours
// of their insulation, each followed to where it ends: a splice drawn as one joint, a
// screw named by its function, a cap. Every conductor bears its name at both ends.
//
// No box of that name is an error. Time is linear in the box, but for routing, which
// is quadratic in its conductors.
func (d *Drawer) Box(name string, opt *Options) (*Picture, error) {
	set, err := opt.settings()
	if err != nil {
		return nil, err
	}
	if d.boxes[name] == nil {
		return nil, fmt.Errorf("draw: there is no box %q", name)
	}
	sheet := d.sheet(name, set.words)
	p := &Picture{title: "Box " + clean(name), description: sheet.describe(), scheme: set.scheme}
	sheet.layout(&p.scene, set.width)
	return p, nil
}

func (d *Drawer) sheet(name string, words func(string) string) *boxSheet {
	s := &boxSheet{d: d, words: words, name: name, has: d.boxes[name], index: map[wiring.Wire]int{}, touch: map[string]string{}}
	s.ties()
	for _, i := range s.has.cables {
		c := &d.spec.Cables[i]
		entry := sheetCable{name: c.Name, kind: c.Type.Name, toward: c.To, first: len(s.ends)}
		if name == c.To {
			entry.toward = c.From
		}
		for _, core := range c.Type.Cores {
			e := wiring.End{Box: name, Wire: wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}}
			f, _ := d.w.FunctionAt(e)
			s.index[e.Wire] = len(s.ends)
			s.ends = append(s.ends, sheetEnd{wire: e.Wire, colour: core.Colour, mark: d.marks[e], tag: d.tags[e], says: f.In(words), brief: words(f.Kind.String()), plain: core.Grounding && f.Kind == wiring.GroundConductor, open: d.open[e.Wire]})
		}
		entry.last = len(s.ends)
		s.cables = append(s.cables, entry)
	}
	pigtails := s.splices()
	s.devices(pigtails)
	s.unused()
	s.arrange()
	return s
}

// ties notes what touches and should not: both things get a letter.
func (s *boxSheet) ties() {
	for k, i := range s.has.ties {
		t := &s.d.spec.Ties[i]
		letter := string(rune('a' + k%26))
		if k >= 26 {
			letter += fmt.Sprint(k / 26)
		}
		for _, j := range []wiring.Joint{t.A, t.B} {
			s.touch[j.String()] += ", FAULT " + letter
		}
		s.notes = append(s.notes, "FAULT "+letter+": "+t.A.String()+" and "+t.B.String()+" touch and must not.")
	}
}

// pin returns the name of the pin of a terminal on the side of the pigtails.
func pin(device, terminal string, splice int) string {
	return fmt.Sprintf("terminal\x00%s\x00%s\x00%d", device, terminal, splice)
}

// splices makes the blocks of the splices, numbered from 1 in the order of the job.
// It returns for each terminal the splices from which a pigtail or lead comes.
func (s *boxSheet) splices() map[switchnet.Terminal][]int {
	pigtails := map[switchnet.Terminal][]int{}
	var neutrals []*block
	var numbers []string
	for k, i := range s.has.splices {
		n := k + 1
		b := &block{kind: splice, head: fmt.Sprintf("Splice %d", n)}
		wires := 0
		var kind wiring.FunctionKind
		for _, j := range s.d.spec.Splices[i].Join {
			if j.Device != "" {
				t := switchnet.Terminal{Place: s.name, Device: j.Device, Name: j.Terminal}
				pigtails[t] = append(pigtails[t], n)
				continue
			}
			e := &s.ends[s.index[j.Wire]]
			if wires++; wires == 1 {
				b.says = append(b.says, e.says)
				f, _ := s.d.w.FunctionAt(wiring.End{Box: s.name, Wire: j.Wire})
				kind = f.Kind
			}
			b.rows = append(b.rows, &row{name: fmt.Sprintf("splice\x00%d\x00%s", n, j.Wire), text: s.called(e), wire: s.index[j.Wire]})
		}
		slices.SortStableFunc(b.rows, func(x, y *row) int { return x.wire - y.wire })
		for _, j := range s.d.spec.Splices[i].Join {
			if j.Device == "" {
				continue
			}
			at := fmt.Sprintf("splice\x00%d\x00%s\x00%s", n, j.Device, j.Terminal)
			b.rows = append(b.rows, &row{name: at, text: s.goesTo(j), wire: -1, right: at})
			s.leads = append(s.leads, lead{at, pin(j.Device, j.Terminal, n), j.Terminal == "ground"})
		}
		if wires == 0 && len(b.rows) == 2 {
			b.says = append(b.says, s.pair(s.d.spec.Splices[i].Join))
		}
		if kind == wiring.NeutralConductor {
			neutrals, numbers = append(neutrals, b), append(numbers, fmt.Sprint(n))
		}
		s.blocks = append(s.blocks, b)
	}
	if len(neutrals) > 1 {
		// Neutrals that are not spliced together in this box were left apart on
		// purpose: each returns the current of its own cables.
		for i, b := range neutrals {
			others := slices.Delete(slices.Clone(numbers), i, i+1)
			b.says = append(b.says, "keep apart from splice "+strings.Join(others, ", "))
		}
	}
	return pigtails
}

// called names a wire's end as it stands at the far end of its stroke.
func (s *boxSheet) called(e *sheetEnd) string {
	t := e.wire.String()
	if e.mark.Valid() {
		t += ", marked " + e.mark.String()
	}
	return t + s.touch[e.wire.String()]
}

func (s *boxSheet) goesTo(j wiring.Joint) string {
	for _, i := range s.has.lights {
		if s.d.spec.Lights[i].Name == j.Device {
			return j.Terminal + " lead of " + j.Device
		}
	}
	if j.Device == "box" {
		return "to the box's grounding screw"
	}
	return "to " + j.Device + " " + j.Terminal
}

// pair says what two terminals that nothing else joins are: a light has leads there,
// everything else screws.
func (s *boxSheet) pair(join []wiring.Joint) string {
	leads := 0
	for _, j := range join {
		if slices.ContainsFunc(s.has.lights, func(i int) bool { return s.d.spec.Lights[i].Name == j.Device }) {
			leads++
		}
	}
	return [...]string{"a jumper, without a connector", "the lead is on the screw, without a connector", "two leads"}[leads]
}

// devices makes the blocks of feeds, devices, lights and the box's own grounding
// screw.
func (s *boxSheet) devices(pigtails map[switchnet.Terminal][]int) {
	add := func(name, head string, says, terminals []string) {
		b := &block{kind: device, head: head, says: says}
		for _, terminal := range terminals {
			t := switchnet.Terminal{Place: s.name, Device: name, Name: terminal}
			touch := s.touch[wiring.Joint{Device: name, Terminal: terminal}.String()]
			strong := terminal + touch
			for k, w := range s.d.on[t] {
				if k > 0 {
					strong = terminal + ", same screw"
				}
				b.rows = append(b.rows, &row{name: pin(name, terminal, -k), strong: strong, text: s.called(&s.ends[s.index[w]]), wire: s.index[w]})
			}
			for k, n := range pigtails[t] {
				if k+len(s.d.on[t]) > 0 {
					strong = terminal + ", same screw"
				}
				at := pin(name, terminal, n)
				b.rows = append(b.rows, &row{name: at, strong: strong, text: fmt.Sprintf("from splice %d", n), wire: -1, right: at})
			}
			if len(s.d.on[t])+len(pigtails[t]) == 0 {
				b.rows = append(b.rows, &row{name: pin(name, terminal, 0), strong: strong, text: "nothing", wire: -1})
			}
		}
		s.blocks = append(s.blocks, b)
	}
	for _, i := range s.has.feeds {
		f := &s.d.spec.Feeds[i]
		dev, _ := s.d.w.Net().Device(switchnet.Ref{Place: s.name, Name: f.Name})
		terminals := slices.DeleteFunc(slices.Clone(dev.Kind.Terminals), func(t string) bool { return !strings.HasPrefix(t, "hot") })
		add(f.Name, f.Name, []string{"breaker, " + f.Breaker.String()}, append(terminals, "neutral", "ground"))
	}
	for _, i := range s.has.devices {
		x := &s.d.spec.Devices[i]
		terminals := slices.DeleteFunc(slices.Clone(x.Kind.Terminals), func(t string) bool { return t == "ground" })
		says := []string{s.words(x.Kind.Name)}
		if x.Yoke != "" {
			says[0] += ", on yoke " + x.Yoke
		}
		if g := s.gang(x); g != "" {
			says = append(says, g)
		}
		if h := s.hint(x.Kind); h != "" {
			says = append(says, h)
		}
		add(x.Name, x.Name, says, append(terminals, "ground"))
	}
	for _, i := range s.has.lights {
		l := &s.d.spec.Lights[i]
		if l.On != "" {
			add(l.Name, l.Name, []string{fmt.Sprintf("plugged into %s, %s and %s", l.On, l.Ends[0], l.Ends[1])}, nil)
			continue
		}
		kind := "light"
		if l.Power > 0 {
			kind += ", " + l.Power.String()
		}
		add(l.Name, l.Name, []string{kind}, []string{"hot", "neutral", "ground"})
	}
	if screw := (switchnet.Terminal{Place: s.name, Device: "box", Name: "ground"}); s.has.box.Metal || len(s.d.on[screw])+len(pigtails[screw]) > 0 {
		add("box", "Grounding screw of the box", nil, []string{"ground"})
	}
}

// gang says where in its box a device stands, as one faces it; nothing where that is not
// stated.
func (s *boxSheet) gang(d *wiring.Device) string {
	if d.Gang == 0 {
		return ""
	}
	t := fmt.Sprintf("gang %d", d.Gang)
	if d.Gangs > 1 {
		t = fmt.Sprintf("gangs %d to %d", d.Gang, d.Gang+d.Gangs-1)
	}
	if n := s.has.box.Gangs; n > 1 {
		t += fmt.Sprintf(" of %d", n)
	}
	return t + ", counted from the left"
}

// hint says how the terminals of a kind are found on the device in hand, whose screws
// stand where its maker put them.
func (s *boxSheet) hint(k switchnet.Kind) string {
	switch {
	case k.Electronic:
		return "Go by what is printed on this device and its sheet."
	case k.Name == switchnet.SinglePole().Name:
		return "Line and load may be exchanged."
	case k.Name == switchnet.ThreeWay().Name:
		return "Meter it loose: the common joins one of the others in both positions; those two may be exchanged."
	case k.Name == switchnet.FourWay().Name:
		return "Meter it loose: two screws that never join are a pair; the wires of a pair may be exchanged."
	}
	return ""
}

// unused makes the blocks of what is capped and of what hangs free.
func (s *boxSheet) unused() {
	caps := &block{kind: capped, head: "Capped, not used", says: []string{"Leave each under its own cap."}}
	free := &block{kind: loose, head: "Loose ends", says: []string{"Nothing is said of these: treat each as live."}}
	for i := range s.ends {
		e := &s.ends[i]
		use, _ := s.d.w.Use(wiring.End{Box: s.name, Wire: e.wire})
		b := caps
		switch use {
		case wiring.Capped:
		case wiring.Hanging:
			b = free
		default:
			continue
		}
		b.rows = append(b.rows, &row{name: "end\x00" + e.wire.String(), text: s.called(e), wire: i})
	}
	for _, b := range []*block{caps, free} {
		if len(b.rows) > 0 {
			s.blocks = append(s.blocks, b)
		}
	}
}

// arrange puts the blocks in the order in which their wires come from the cables, so
// that few cross, the ground splice last; and tells each end where it goes.
func (s *boxSheet) arrange() {
	key := map[*block]int{}
	at := map[string]*block{}
	for _, b := range s.blocks {
		sum, n := 0, 0
		for _, r := range b.rows {
			at[r.name] = b
			if r.wire >= 0 {
				s.ends[r.wire].to = r.name
				sum, n = sum+r.wire*100, n+1
			}
		}
		key[b] = -1
		if n > 0 {
			key[b] = sum / n
		}
	}
	// What has no wires of its own stands by the splice its lead comes from.
	for _, b := range s.blocks {
		sum, n := 0, 0
		for _, l := range s.leads {
			if from := at[l.from]; at[l.to] == b && key[from] >= 0 && key[b] < 0 {
				sum, n = sum+key[from], n+1
			}
		}
		if n > 0 {
			key[b] = sum/n + 1
		}
	}
	for _, b := range s.blocks {
		if b.kind == splice && len(b.says) > 0 && b.says[0] == s.words("ground") {
			key[b] = 1 << 30
		}
	}
	for b, k := range key {
		if k < 0 {
			key[b] = 1 << 29 // nothing is on it
		}
	}
	slices.SortStableFunc(s.blocks, func(a, b *block) int { return key[a] - key[b] })
}

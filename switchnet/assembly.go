package switchnet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/internal/dense"
	"example.com/switchleg/internal/unionfind"
)

// assembly is a net under construction.
type assembly struct {
	net      *Net
	problems problemList
	kindOf   map[string]int32

	hasSource bool
	unsound   bool // some kind is not valid
}

// size reports what is beyond the limit before anything of that size is made.
func (a *assembly) size(b *Builder) {
	terminals := len(b.points) + 2*len(b.loads)
	for _, d := range b.devices {
		terminals += len(d.Kind.Terminals) + len(d.Kind.Internal)
	}
	a.limit("terminals", terminals)
	a.limit("conductors", len(b.conductors))
	a.limit("splices", len(b.splices))
}

func (a *assembly) limit(what string, n int) {
	if n > MaxParts {
		a.problems.add(TooLarge, "net", "has %d %s; the limit is %d", n, what, MaxParts)
	}
}

func (a *assembly) source(sources []Source) {
	switch len(sources) {
	case 0:
		a.problems.add(MissingSource, "net", "has no source; declare the supply that feeds it")
		return
	case 1:
	default:
		for _, s := range sources[1:] {
			a.problems.add(BadSource, "source "+quote(s.String()), "is a second supply; a net has one, and other supplies are other nets")
		}
	}
	a.net.source, a.hasSource = sources[0], true
	if sources[0].Name == "" {
		a.problems.add(Unnamed, "source at "+quote(sources[0].Place), "has no name")
	}
	if msg := sources[0].System.validate(); msg != "" {
		a.problems.add(BadSource, "source "+quote(sources[0].String()), "%s", msg)
	}
}

// parts sorts the parts by name and compiles the device kinds.
func (a *assembly) parts(b *Builder) {
	n := a.net
	devices := sortedCopy(b.devices, func(x, y Device) int { return x.Compare(y.Ref) })
	a.kindOf = map[string]int32{}
	var order []string
	for i := range devices {
		d := &devices[i]
		if d.Name == "" {
			a.problems.add(Unnamed, "device at "+quote(d.Place), "has no name")
		}
		k, known := a.kindOf[d.Kind.Name]
		switch {
		case !known:
			ps := d.Kind.Validate()
			a.problems.list = append(a.problems.list, ps...)
			a.unsound = a.unsound || len(ps) > 0
			a.kindOf[d.Kind.Name] = int32(len(n.kinds))
			n.kinds = append(n.kinds, d.Kind.Clone())
			order = append(order, d.Kind.Name)
		case !n.kinds[k].Equal(d.Kind):
			a.problems.add(BadKind, "device "+quote(d.Ref.String()), "is of a kind called %q that differs from another of that name; rename one", d.Kind.Name)
		}
	}
	// Kinds in name order, so that nothing depends on which device came first.
	slices.Sort(order)
	slices.SortFunc(n.kinds, func(x, y Kind) int { return strings.Compare(x.Name, y.Name) })
	for i, name := range order {
		a.kindOf[name] = int32(i)
	}
	n.deviceRef = make([]Ref, len(devices))
	n.deviceKind = make([]int32, len(devices))
	n.loads = slices.Clone(b.loads)
	for i := range devices {
		n.deviceRef[i] = devices[i].Ref
		k := a.kindOf[devices[i].Kind.Name]
		n.deviceKind[i] = k
		for _, l := range n.kinds[k].Internal {
			n.loads = append(n.loads, Load{Ref: Ref{devices[i].Place, devices[i].Name + " " + l.Name}, On: devices[i].Name, Ends: [2]string{l.From, l.To}})
		}
	}
	n.loads = sortedCopy(n.loads, func(x, y Load) int { return x.Compare(y.Ref) })
	n.conductors = sortedCopy(b.conductors, compareConductors)
	n.splices = sortedCopy(b.splices, func(x, y Splice) int { return x.Compare(y.Ref) })
}

// terminalsOf returns the terminals of a kind, each name once: a name that comes
// twice is a mistake of the kind, and not of each device of it.
func (a *assembly) terminalsOf(kind int32) []string {
	names := a.net.kinds[kind].Terminals
	if a.unsound {
		names = slices.Compact(slices.Sorted(slices.Values(names)))
	}
	return names
}

// terminals makes the sorted list of all terminals and the spans of their
// owners.
func (a *assembly) terminals(points []Terminal) {
	n := a.net
	type entry struct {
		ref   Ref
		class uint8 // 0 source, 1 device, 2 load, 3 point
		index int32
	}
	entries := make([]entry, 0, 1+len(n.deviceRef)+len(n.loads)+len(points))
	if a.hasSource {
		entries = append(entries, entry{n.source.Ref, 0, 0})
	}
	for i, r := range n.deviceRef {
		entries = append(entries, entry{r, 1, int32(i)})
	}
	for i, l := range n.loads {
		if l.Name == "" {
			a.problems.add(Unnamed, "load at "+quote(l.Place), "has no name")
		}
		entries = append(entries, entry{l.Ref, 2, int32(i)})
	}
	for i, p := range points {
		if p.Name == "" {
			a.problems.add(Unnamed, "point at "+quote(p.String()), "has no name")
		}
		entries = append(entries, entry{p.Owner(), 3, int32(i)})
	}
	less := func(x, y entry) int { return cmp.Or(x.ref.Compare(y.ref), cmp.Compare(x.class, y.class)) }
	if !slices.IsSortedFunc(entries, less) {
		slices.SortStableFunc(entries, less)
	}
	n.spans = make(map[Ref]span, len(entries))
	n.terms = make([]Terminal, 0, 4*len(entries))
	var names []string
	for i := 0; i < len(entries); {
		ref, j, owners := entries[i].ref, i, 0
		names = names[:0]
		for ; j < len(entries) && entries[j].ref == ref; j++ {
			switch e := entries[j]; e.class {
			case 0:
				for r := range Rails() {
					if n.source.System.Has(r) {
						names = append(names, r.String())
					}
				}
				owners++
			case 1:
				names = append(names, a.terminalsOf(n.deviceKind[e.index])...)
				owners++
			case 2:
				if l := &n.loads[e.index]; l.On == "" {
					ends := l.Terminals()
					names = append(names, ends[0].Name)
					if ends[0] != ends[1] { // said by land
						names = append(names, ends[1].Name)
					}
				}
				owners++
			case 3:
				names = append(names, points[e.index].Name)
			}
		}
		if owners > 1 {
			a.problems.add(Duplicate, quote(ref.String()), "is declared %d times; a device, a load and the source each need a name of their own in their place", owners)
		}
		slices.Sort(names)
		from := int32(len(n.terms))
		for k, name := range names {
			if k > 0 && names[k-1] == name {
				if owners <= 1 {
					a.problems.add(Duplicate, "terminal "+quote(ref.Terminal(name).String()), "is declared twice")
				}
				continue
			}
			n.terms = append(n.terms, ref.Terminal(name))
		}
		n.spans[ref] = span{from, int32(len(n.terms))}
		i = j
	}
}

// find returns the number of a terminal that a part lands on, or -1 with a
// problem noted.
func (a *assembly) find(t Terminal, subject string) int32 {
	if i, ok := a.net.terminal(t); ok {
		return i
	}
	sp, ok := a.net.spans[t.Owner()]
	if !ok {
		a.problems.add(Unknown, subject, "lands on %q, and nothing called %q is declared", t.String(), t.Owner().String())
		return -1
	}
	var names []string
	for _, u := range a.net.terms[sp.from:sp.to] {
		names = append(names, u.Name)
	}
	a.problems.add(Unknown, subject, "lands on terminal %q of %q, whose terminals are: %s", t.Name, t.Owner().String(), strings.Join(names, ", "))
	return -1
}

// land resolves every terminal name.
func (a *assembly) land() {
	n := a.net
	n.deviceStart = make([]int32, len(n.deviceRef)+1)
	n.deviceTerms = make([]int32, 0, 4*len(n.deviceRef))
	for i, r := range n.deviceRef {
		sp := n.spans[r]
		for _, name := range n.kinds[n.deviceKind[i]].Terminals {
			n.deviceTerms = append(n.deviceTerms, n.within(sp, name))
		}
		n.deviceStart[i+1] = int32(len(n.deviceTerms))
	}
	n.loadTerms = make([][2]int32, len(n.loads))
	for i := range n.loads {
		l := &n.loads[i]
		subject := "load " + quote(l.Ref.String())
		ends := l.Terminals()
		if ends[0] == ends[1] {
			a.problems.add(BadLoad, subject, "has both ends on %q", ends[0].String())
		}
		for e, t := range ends {
			n.loadTerms[i][e] = a.find(t, subject)
			l.Ends[e] = t.Name
		}
		if l.Rated < 0 {
			a.problems.add(BadLoad, subject, "is rated for a negative voltage")
		}
	}
	n.conductorTerms = make([][2]int32, len(n.conductors))
	for i, c := range n.conductors {
		if c.Name == "" {
			a.problems.add(Unnamed, fmt.Sprintf("conductor from %q to %q", c.From.String(), c.To.String()), "has no name")
		}
		if i > 0 && n.conductors[i-1].Name == c.Name {
			a.problems.add(Duplicate, "conductor "+quote(c.Name), "is declared twice; parallel conductors need names of their own")
		}
		if c.From == c.To {
			a.problems.add(BadConductor, "conductor "+quote(c.Name), "runs from %q to itself", c.From.String())
		}
		subject := ""
		for e, t := range [2]Terminal{c.From, c.To} {
			x, ok := n.terminal(t)
			if !ok {
				if subject == "" {
					subject = "conductor " + quote(c.Name)
				}
				x = a.find(t, subject)
			}
			n.conductorTerms[i][e] = x
		}
	}
	n.spliceTerms = make([][]int32, len(n.splices))
	for i, s := range n.splices {
		subject := "splice " + quote(s.Ref.String())
		if s.Name == "" {
			a.problems.add(Unnamed, "splice at "+quote(s.Place), "has no name")
		}
		if i > 0 && n.splices[i-1].Ref == s.Ref {
			a.problems.add(Duplicate, subject, "is declared twice")
		}
		if len(s.Joins) == 0 {
			a.problems.add(BadSplice, subject, "joins nothing")
		}
		terms := make([]int32, len(s.Joins))
		for j, t := range s.Joins {
			terms[j] = a.find(t, subject)
		}
		slices.Sort(terms)
		for j, t := range terms {
			if j > 0 && t >= 0 && t == terms[j-1] {
				a.problems.add(BadSplice, subject, "joins %q twice", n.terms[t].String())
			}
		}
		n.spliceTerms[i] = terms
		n.splices[i].Joins = sortedCopy(s.Joins, Terminal.Compare)
	}
}

// contract joins what is joined for good and makes the graph the solvers use.
func (a *assembly) contract() {
	n := a.net
	sets := unionfind.New(len(n.terms))
	for _, c := range n.conductorTerms {
		sets.Union(c[0], c[1])
	}
	for _, s := range n.spliceTerms {
		for _, t := range s[1:] {
			sets.Union(s[0], t)
		}
	}
	var nets int
	n.termNet, nets = sets.Number()
	g := &dense.Graph{
		NetRails:    make([]dense.Rails, nets),
		Kinds:       make([]dense.Kind, len(n.kinds)),
		DeviceKind:  n.deviceKind,
		DeviceStart: n.deviceStart,
		DeviceNets:  make([]int32, len(n.deviceTerms)),
		LoadNets:    make([][2]int32, len(n.loadTerms)),
	}
	for i, k := range n.kinds {
		g.Kinds[i] = k.compile()
	}
	for i, t := range n.deviceTerms {
		g.DeviceNets[i] = n.termNet[t]
	}
	for i, ends := range n.loadTerms {
		g.LoadNets[i] = [2]int32{n.termNet[ends[0]], n.termNet[ends[1]]}
	}
	for r := range Rails() {
		n.railTerm[r] = -1
		if n.source.System.Has(r) {
			t, _ := n.terminal(n.source.Rail(r))
			n.railTerm[r] = t
			g.NetRails[n.termNet[t]] |= r.bit()
		}
	}
	n.graph = g
}

package job

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// version is the version of the format that is read and written.
const version = "1"

// unknown stands for the far end of a cable whose box is not known.
const unknown = "unknown"

// reader reads one document.
type reader struct {
	doc *strict.Doc
	opt *Options
	top *strict.Map
	out *File

	bad      map[wiring.Ref]bool // what cannot be used, by its key in the file
	spoiled  bool                // a list could not be read at all
	nameless map[string]bool     // lists with an entry whose name cannot be used
	kinds    map[string]switchnet.Kind
	kindIDs  []string
	badKinds map[string]bool // kinds of the file's own that cannot be used
	boxTypes []string        // of the region, made at first need
	rooms    []string        // likewise: kinds of room

	cables map[string]int               // index
	owners map[switchnet.Ref]wiring.Ref // devices, lights, feeds and "box"
	names  map[string][]string          // by box, made at the first unknown name
	asked  int                          // candidates compared for suggestions so far
}

func newReader(doc *strict.Doc, opt *Options) *reader {
	return &reader{doc: doc, opt: opt, top: doc.Root().Map("a job file"),
		out: &File{Name: doc.Name(), lists: map[string][]*strict.Node{}},
		bad: map[wiring.Ref]bool{}, nameless: map[string]bool{},
		cables: map[string]int{}, owners: map[switchnet.Ref]wiring.Ref{}}
}

// version checks the format key and reports whether the rest can be read.
func (r *reader) version() bool {
	const what = "the version of the format, as the first line: format: 1"
	n := r.top.Need("format", what)
	if n == nil {
		return true
	}
	s, ok := n.Text(what)
	if ok && s != version {
		n.Report(strict.Report{Found: fmt.Sprintf("format %q is not read here", s), Expected: "format " + version})
		return false
	}
	first := r.doc.Root().Entries()[0].Key
	if k := r.top.Key("format"); ok && first != k {
		k.Report(strict.Report{Found: "the format is not stated first", Expected: "format: 1 above all other keys", Fix: "move it up",
			Other: first, Note: "this stands before it"})
	}
	return true
}

// topKeys are the keys of a file in the order in which they are written.
var topKeys = []string{"format", "title", "rules", "supply", "installed", "kinds", "feeds", "boxes", "lights", "runs",
	"controls", "needs", "exemptions", "stairs", "stock", "cables", "devices", "splices", "landings", "caps", "marks", "tags", "ties", "opens"}

// file reads all lists. The order is that in which one needs another.
func (r *reader) file() {
	for _, k := range topKeys {
		r.top.Key(k)
	}
	for _, e := range r.doc.Root().Entries() {
		if !slices.Contains(topKeys, e.Key.Raw()) {
			r.spoiled = true // it may be a list under another name
		}
	}
	f := r.out
	head := &entry{r: r, m: r.top, ref: wiring.Ref{List: "file"}}
	f.Title = head.text("title", "the title of the job")
	r.region(head)
	f.Wiring.Installed = head.year("installed")
	for _, k := range []string{"supply", "installed"} {
		if n := r.top.Get(k); n != nil {
			f.lists[k] = []*strict.Node{n}
		}
	}
	r.readKinds()
	r.each("feeds", "a feed", r.feed)
	r.each("boxes", "a box", r.box)
	r.each("lights", "a light", r.light)
	r.each("runs", "a run", r.run)
	r.each("controls", "a control", r.control)
	r.each("needs", "a need", r.need)
	r.each("exemptions", "an exemption", r.exemption)
	r.each("stairs", "a stair", r.stair)
	r.each("stock", "a cable of the stock", r.stock)
	r.each("cables", "a cable", r.cable)
	r.each("devices", "a device", r.device)
	for i := range f.Wiring.Cables {
		if name := f.Wiring.Cables[i].Name; !r.hasCable(name) {
			r.cables[name] = i
		}
	}
	r.each("splices", "a splice", r.splice)
	r.each("landings", "a landing", r.landing)
	r.each("caps", "a cap", r.cap)
	r.each("marks", "a re-marking", r.mark)
	r.each("tags", "a tag", r.tag)
	r.each("ties", "a tie", r.tie)
	r.opens()
	r.top.Done()
	w := &f.Wiring
	f.Intent.Supply, f.Intent.Feeds, f.Intent.Boxes, f.Intent.Lights = w.Supply, w.Feeds, w.Boxes, w.Lights
}

// each reads the entries of a list, each of them keys and values.
func (r *reader) each(list, what string, read func(e *entry)) {
	for i, n := range r.entries(list, "a list of "+list) {
		e := &entry{r: r, m: n.Map(what), ref: wiring.Ref{List: list, Index: i}}
		if e.m == nil {
			e.spoil("")
		}
		read(e)
		e.m.Done()
	}
}

func (r *reader) entries(list, what string) []*strict.Node {
	n := r.top.Get(list)
	if n.Kind() != strict.KindList && n != nil && !n.Empty() {
		r.spoiled = true
	}
	nodes := n.List(what)
	r.out.lists[list] = nodes
	return nodes
}

func (r *reader) hasCable(name string) bool { _, ok := r.cables[name]; return ok }

// own notes what bears a name in a box.
func (r *reader) own(box, name string, at wiring.Ref) {
	ref := switchnet.Ref{Place: box, Name: name}
	if _, ok := r.owners[ref]; !ok {
		r.owners[ref] = at
	}
}

var (
	lineWords = []string{"A", "B", "C"}
	lines     = []switchnet.Rail{switchnet.LineA, switchnet.LineB, switchnet.LineC}

	protections = []conductor.ProtectionKind{conductor.ArcFault, conductor.GroundFault, conductor.ResidualCurrent}
)

func (r *reader) feed(e *entry) {
	f := wiring.Feed{
		Name:    e.need("name", "the name of the feed"),
		Box:     e.need("box", "the box its breaker is in"),
		Breaker: positive(e, "breaker", "a current such as 15 A", quantity.ParseCurrent),
		Volts:   positive(e, "volts", "a voltage such as 120 V", quantity.ParseVoltage),
		Poles:   e.count("poles", 1, 3),

		HandleTie: e.text("handle tie", "the name of the tie that joins its handle to that of another feed"),
	}
	if e.m.Need("breaker", "the rating of its breaker, such as 15 A") == nil {
		e.spoil("breaker")
	}
	for _, n := range e.list("lines", "a list of lines: A, B or C") {
		s, ok := n.OneOf("a line of the supply", lineWords...)
		if !ok {
			e.spoil("lines")
			continue
		}
		f.Lines = append(f.Lines, lines[slices.Index(lineWords, s)])
	}
	f.Protection = e.protection()
	r.own(f.Box, f.Name, e.ref)
	r.out.Wiring.Feeds = append(r.out.Wiring.Feeds, f)
}

// protection returns the added protections of a feed or device.
func (e *entry) protection() []conductor.ProtectionKind {
	var out []conductor.ProtectionKind
	for i, n := range e.list("protection", "a list of protections: "+join(words(protections))) {
		s, ok := n.OneOf("a protection", words(protections)...)
		if !ok {
			e.spoil(fmt.Sprintf("protection %d", i))
			continue
		}
		out = append(out, protections[slices.Index(words(protections), s)])
	}
	return out
}

func (r *reader) light(e *entry) {
	l := wiring.Light{
		Name:        e.need("name", "the name of the light"),
		Box:         e.need("box", "the box it is on"),
		Power:       positive(e, "load", "a power such as 18 W", quantity.ParsePower),
		Volts:       positive(e, "volts", "a voltage such as 120 V", quantity.ParseVoltage),
		Kind:        word(e, "kind", "a kind of load", words(wiring.LoadKinds()), wiring.LoadKinds()),
		PowerFactor: positive(e, "power factor", "a factor such as 0.9", quantity.ParseFactor),
		Leakage:     positive(e, "leakage", "a current such as 30 uA", quantity.ParseCurrent),
		TurnOn:      positive(e, "turn on", "a voltage such as 60 V", quantity.ParseVoltage),
		On:          e.text("on", "the device it is plugged into"),
		Canopy:      e.yes("canopy"),
		Leads:       value(e, "leads", "the size of its leads", conductor.ParseSize),
	}
	ends := e.texts("ends", "the two terminals it is plugged into", "a terminal")
	switch {
	case len(ends) == 2:
		l.Ends = [2]string(ends)
	case e.has("ends") && !e.r.bad[wiring.Ref{List: "lights", Index: e.ref.Index, Field: "ends"}]:
		e.fail("ends", e.m.Get("ends"), strict.Report{Found: fmt.Sprintf("found %d terminals", len(ends)), Expected: "the two terminals it is plugged into"})
	case l.On != "" && !e.has("ends"):
		e.m.Need("ends", "the two terminals it is plugged into, such as [hot 1, neutral 1]")
		e.spoil("ends")
	}
	if e.has("on") && l.On == "" {
		e.spoil("ends")
	}
	if l.On == "" {
		r.own(l.Box, l.Name, e.ref)
	}
	r.out.Wiring.Lights = append(r.out.Wiring.Lights, l)
}

func (r *reader) run(e *entry) {
	e.m.Need("length", "its length, such as 34 ft")
	if !e.has("length") {
		e.spoil("length")
	}
	r.out.Intent.Runs = append(r.out.Intent.Runs, intent.Run{
		From:     e.need("from", "the box it begins at"),
		To:       e.need("to", "the box it ends at"),
		Length:   positive(e, "length", "a length such as 34 ft", quantity.ParseLength),
		Cable:    value(e, "cable", "a type of cable such as 14/3", conductor.ParseCableType),
		Existing: e.yes("existing"),
		Raceway:  e.yes("raceway"),
		IfNeeded: e.yes("if needed"),
		Bored:    e.bored(),
		Notches:  e.count("notches", 1, wiring.MaxBores),
	})
}

func (r *reader) control(e *entry) {
	var schemes []intent.Scheme
	for i, n := range e.list("schemes", "a list of schemes: chain, joined commons") {
		s, ok := n.OneOf("a scheme", words(intent.Schemes())...)
		if !ok {
			e.spoil(fmt.Sprintf("schemes %d", i))
			s = intent.Chain.String()
		}
		schemes = append(schemes, intent.Schemes()[slices.Index(words(intent.Schemes()), s)])
	}
	r.out.Intent.Controls = append(r.out.Intent.Controls, intent.Control{
		Name:    e.need("name", "the name of the control"),
		Lights:  e.texts("lights", "a list of lights", "the name of a light"),
		Places:  e.texts("places", "a list of boxes with a switch", "the name of a box"),
		Feed:    e.text("feed", "the feed it is on"),
		Schemes: schemes,
	})
}

func (r *reader) need(e *entry) {
	var words []string
	for _, k := range intent.Needs() {
		words = append(words, k.String())
	}
	n := intent.Need{
		Box:  e.need("box", "the box that needs it"),
		Kind: word(e, "needs", "what a box can need", words, intent.Needs()),
		Feed: e.text("feed", "the feed it is to come from"),
		For:  e.text("for", "what it is for"),
	}
	if e.m.Need("needs", "power, neutral or spare") == nil {
		e.spoil("needs")
	}
	r.out.Intent.Needs = append(r.out.Intent.Needs, n)
}

func (r *reader) exemption(e *entry) {
	r.out.Intent.Exemptions = append(r.out.Intent.Exemptions, intent.Exemption{
		Box: e.need("box", "the box whose switches need no neutral"),
		By:  e.need("by", "the exemption of the region that holds there, such as accessible box"),
	})
}

func (r *reader) stair(e *entry) {
	const many = "a whole number from 1 to 999"
	if e.m.Need("risers", many) == nil {
		e.spoil("risers")
	}
	r.out.Intent.Stairs = append(r.out.Intent.Stairs, intent.Stair{
		Name:   e.need("name", "the name of the stair"),
		Risers: e.count("risers", 1, 999),
		Levels: e.texts("levels", "a list of boxes, one at each level", "the name of a box"),
		Lights: e.texts("lights", "a list of lights", "the name of a light"),
	})
}

func (r *reader) stock(e *entry) {
	const what = "a type of cable such as 14/3"
	if e.m.Need("cable", what) == nil {
		e.spoil("cable")
	}
	r.out.Intent.Stock = append(r.out.Intent.Stock, intent.Stock{
		Cable:  value(e, "cable", what, conductor.ParseCableType),
		Weight: positive(e, "weight", "what a foot of it costs, a number such as 0.62", quantity.ParseFactor),
	})
}

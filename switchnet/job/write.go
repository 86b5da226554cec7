package job

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// Marshal returns the file as Parse reads it, keys in the order of the package's
// documentation and lists in their own order. The supply, feeds, boxes and lights
// are those of the wiring, or of the intent if the wiring has none. Device kinds
// that are not built in are written from the devices that have them; then come
// those of f.Kinds that no device has.
//
// What is written is read back and compared before it is returned. What the format
// cannot say is an error that names it, all of it at once; so is a file that Parse
// would refuse. A file larger than the limits of opt is written and can be read
// with larger limits.
func Marshal(f *File, opt *Options) ([]byte, error) {
	if f == nil {
		return nil, errors.New("job: there is no file to write")
	}
	w := &writer{f: f, opt: opt}
	w.file()
	if len(w.errs) > 0 {
		return nil, errors.Join(w.errs...)
	}
	limits := Options{}
	if opt != nil {
		limits = *opt
	}
	size := w.b.Len()
	limits.MaxBytes = max(limits.MaxBytes, strict.DefaultMaxBytes, 4*size)
	limits.MaxEntries = max(limits.MaxEntries, strict.DefaultMaxEntries, size)
	out, err := Format("job", []byte(w.b.String()), &limits)
	if err != nil {
		return nil, fmt.Errorf("job: not written: %w", err)
	}
	back, err := Parse("job", out, &limits)
	if err != nil {
		return nil, fmt.Errorf("job: not written, because it could not be read back: %w", err)
	}
	if what := differs(f, back); what != "" {
		return nil, fmt.Errorf("job: not written, because %s would not read back the same", what)
	}
	return out, nil
}

// writer writes a file.
type writer struct {
	f    *File
	opt  *Options
	b    strings.Builder
	errs []error
}

func (w *writer) fail(format string, args ...any) {
	if len(w.errs) < strict.DefaultMaxProblems {
		w.errs = append(w.errs, fmt.Errorf("job: "+format, args...))
	}
}

// fields writes a map in braces.
type fields struct{ parts []string }

func (f *fields) raw(key, value string) { f.parts = append(f.parts, key+": "+value) }

// text writes a value unless it is empty.
func (f *fields) text(key, value string) {
	if value != "" {
		f.raw(key, strict.Quote(value))
	}
}

// name writes a value even if it is empty, so that its lack is seen when it is
// read back.
func (f *fields) name(key, value string) { f.raw(key, strict.Quote(value)) }

func (f *fields) count(key string, n int) {
	if n != 0 {
		f.raw(key, strconv.Itoa(n))
	}
}

func (f *fields) yes(key string, yes bool) {
	if yes {
		f.raw(key, "yes")
	}
}

func (f *fields) list(key string, values []string) {
	if len(values) > 0 {
		f.raw(key, bracket(quoted(values)))
	}
}

// measure writes a quantity unless it is zero.
func measure[T interface {
	~int64
	fmt.Stringer
}](f *fields, key string, v T) {
	if v != 0 {
		f.text(key, v.String())
	}
}

func (f *fields) String() string { return "{" + strings.Join(f.parts, ", ") + "}" }

func quoted(values []string) []string {
	out := make([]string, len(values))
	for i, v := range values {
		out[i] = strict.Quote(v)
	}
	return out
}

func bracket(parts []string) string { return "[" + strings.Join(parts, ", ") + "]" }

// each writes a list, one entry a line.
func each[T any](w *writer, list string, values []T, write func(f *fields, v *T)) {
	if len(values) == 0 {
		return
	}
	w.b.WriteString("\n" + list + ":\n")
	for i := range values {
		var f fields
		write(&f, &values[i])
		w.b.WriteString("  - " + f.String() + "\n")
	}
}

func (w *writer) file() {
	f := w.f
	base := f.base()
	fmt.Fprintf(&w.b, "format: %s\n", version)
	var head fields
	head.text("title", f.Title)
	head.name("rules", f.Rules)
	w.supply(&head, base.Supply)
	head.count("installed", f.Wiring.Installed)
	w.b.WriteString(strings.Join(head.parts, "\n") + "\n")
	each(w, "kinds", w.kinds(), w.kind)
	each(w, "feeds", base.Feeds, w.feed)
	each(w, "boxes", base.Boxes, w.box)
	each(w, "lights", base.Lights, w.light)
	w.intent()
	each(w, "cables", f.Wiring.Cables, w.cable)
	each(w, "devices", f.Wiring.Devices, w.device)
	w.ends()
}

// base returns the wiring's supply, feeds, boxes and lights, or the intent's if the
// wiring has none.
func (f *File) base() wiring.Spec {
	w, in := &f.Wiring, &f.Intent
	if w.Supply.Lines == 0 && len(w.Feeds)+len(w.Boxes)+len(w.Lights) == 0 {
		return wiring.Spec{Supply: in.Supply, Feeds: in.Feeds, Boxes: in.Boxes, Lights: in.Lights}
	}
	return wiring.Spec{Supply: w.Supply, Feeds: w.Feeds, Boxes: w.Boxes, Lights: w.Lights}
}

func (w *writer) feed(f *fields, v *wiring.Feed) {
	f.name("name", v.Name)
	f.name("box", v.Box)
	measure(f, "volts", v.Volts)
	measure(f, "breaker", v.Breaker)
	f.count("poles", v.Poles)
	var on []string
	for _, r := range v.Lines {
		i := slices.Index(lines, r)
		if i < 0 {
			w.fail("feed %q is on %v, which is no line", v.Name, r)
			return
		}
		on = append(on, lineWords[i])
	}
	if len(on) > 0 {
		f.raw("lines", bracket(on))
	}
	f.text("handle tie", v.HandleTie)
	f.list("protection", words(v.Protection))
}

func (w *writer) light(f *fields, v *wiring.Light) {
	f.name("name", v.Name)
	f.name("box", v.Box)
	measure(f, "load", v.Power)
	measure(f, "volts", v.Volts)
	if v.Kind != 0 {
		f.text("kind", v.Kind.String())
	}
	if v.PowerFactor != 0 {
		f.text("power factor", v.PowerFactor.Factor())
	}
	measure(f, "leakage", v.Leakage)
	measure(f, "turn on", v.TurnOn)
	f.text("on", v.On)
	if v.Ends != [2]string{} {
		f.list("ends", v.Ends[:])
	}
	f.yes("canopy", v.Canopy)
	if v.Leads.Valid() {
		f.text("leads", v.Leads.String())
	}
}

func (w *writer) cable(f *fields, v *wiring.Cable) {
	f.name("name", v.Name)
	f.name("type", v.Type.Name)
	f.name("from", v.From)
	if v.To == "" {
		f.raw("to", unknown)
	} else {
		f.name("to", v.To)
	}
	measure(f, "length", v.Length)
	f.count("installed", v.Installed)
	f.list("bored", words(v.Bored))
	f.count("notches", v.Notches)
	f.measured("from end", &v.Entries[0])
	f.measured("to end", &v.Entries[1])
	measure(f, "supports apart", v.Apart)
	base, err := conductor.ParseCableType(v.Type.Name)
	if err != nil {
		w.fail("cable %q: %v", v.Name, err)
		return
	}
	if !reflect.DeepEqual(base, v.Type) {
		// Colours as found may differ; nothing else may.
		base.Cores = slices.Clone(base.Cores)
		var found []string
		for i := range min(len(base.Cores), len(v.Type.Cores)) {
			base.Cores[i].Colour = v.Type.Cores[i].Colour
			found = append(found, v.Type.Cores[i].Colour.String())
		}
		if !reflect.DeepEqual(base, v.Type) {
			w.fail("cable %q is called %q and made up otherwise; the file can say only that its colours differ", v.Name, v.Type.Name)
		}
		f.list("conductors", found)
	}
}

// measured writes what was measured at an end of a cable, if anything was.
func (f *fields) measured(key string, v *wiring.Entry) {
	if *v == (wiring.Entry{}) {
		return
	}
	var p fields
	measure(&p, "support", v.Support)
	measure(&p, "along", v.Along)
	if v.SheathStated {
		p.text("sheath", v.Sheath.String())
	}
	measure(&p, "free", v.Free)
	f.raw(key, p.String())
}

func (w *writer) device(f *fields, v *wiring.Device) {
	f.name("name", v.Name)
	f.name("box", v.Box)
	f.name("kind", v.Kind.Name)
	f.text("yoke", v.Yoke)
	f.count("gangs", v.Gangs)
	f.count("gang", v.Gang)
	measure(f, "depth", v.Depth)
	f.yes("aluminum", v.Aluminum)
	measure(f, "rating", v.Rating)
	measure(f, "least load", v.LeastLoad)
	measure(f, "most load", v.MostLoad)
	f.list("protection", words(v.Protection))
}

func (w *writer) intent() {
	in := &w.f.Intent
	each(w, "runs", in.Runs, func(f *fields, v *intent.Run) {
		f.name("from", v.From)
		f.name("to", v.To)
		measure(f, "length", v.Length)
		if v.Cable.Name != "" {
			if base, err := conductor.ParseCableType(v.Cable.Name); err != nil || !reflect.DeepEqual(base, v.Cable) {
				w.fail("the run from %q to %q is for cable %q, which the file cannot name", v.From, v.To, v.Cable.Name)
			}
			f.text("cable", v.Cable.Name)
		}
		f.yes("existing", v.Existing)
		f.yes("raceway", v.Raceway)
		f.yes("if needed", v.IfNeeded)
		f.list("bored", words(v.Bored))
		f.count("notches", v.Notches)
	})
	each(w, "controls", in.Controls, func(f *fields, v *intent.Control) {
		f.name("name", v.Name)
		f.list("lights", v.Lights)
		f.list("places", v.Places)
		f.text("feed", v.Feed)
		f.list("schemes", words(v.Schemes))
	})
	each(w, "needs", in.Needs, func(f *fields, v *intent.Need) {
		f.name("box", v.Box)
		f.name("needs", v.Kind.String())
		f.text("feed", v.Feed)
		f.text("for", v.For)
	})
	each(w, "exemptions", in.Exemptions, func(f *fields, v *intent.Exemption) {
		f.name("box", v.Box)
		f.name("by", v.By)
	})
	each(w, "stairs", in.Stairs, func(f *fields, v *intent.Stair) {
		f.name("name", v.Name)
		f.count("risers", v.Risers)
		f.list("levels", v.Levels)
		f.list("lights", v.Lights)
	})
	each(w, "stock", in.Stock, func(f *fields, v *intent.Stock) {
		if base, err := conductor.ParseCableType(v.Cable.Name); err != nil || !reflect.DeepEqual(base, v.Cable) {
			w.fail("the stock has cable %q, which the file cannot name", v.Cable.Name)
		}
		f.name("cable", v.Cable.Name)
		if v.Weight != 0 {
			f.raw("weight", v.Weight.Factor())
		}
	})
}

// ends writes what becomes of the ends of the wires.
func (w *writer) ends() {
	s := &w.f.Wiring
	joints := func(js ...wiring.Joint) string {
		out := make([]string, len(js))
		for i, j := range js {
			out[i] = strict.Quote(j.String())
		}
		return bracket(out)
	}
	each(w, "splices", s.Splices, func(f *fields, v *wiring.Splice) {
		f.name("box", v.Box)
		f.raw("join", joints(v.Join...))
	})
	each(w, "landings", s.Landings, func(f *fields, v *wiring.Landing) {
		f.name("box", v.Box)
		f.name("device", v.Device)
		f.name("terminal", v.Terminal)
		f.name("wire", v.Wire.String())
		f.yes("push in", v.PushIn)
	})
	each(w, "caps", s.Caps, func(f *fields, v *wiring.Cap) {
		f.name("box", v.Box)
		f.name("wire", v.Wire.String())
	})
	each(w, "marks", s.Marks, func(f *fields, v *wiring.Mark) {
		f.name("box", v.Box)
		f.name("wire", v.Wire.String())
		f.name("as", v.As.String())
	})
	each(w, "tags", s.Tags, func(f *fields, v *wiring.Tag) {
		f.name("box", v.Box)
		f.name("wire", v.Wire.String())
		f.name("says", v.Text)
	})
	each(w, "ties", s.Ties, func(f *fields, v *wiring.Tie) {
		f.name("box", v.Box)
		f.raw("join", joints(v.A, v.B))
	})
	if len(s.Opens) > 0 {
		var opens []string
		for _, o := range s.Opens {
			opens = append(opens, "  - "+strict.Quote(o.String()))
		}
		w.b.WriteString("\nopens:\n" + strings.Join(opens, "\n") + "\n")
	}
}

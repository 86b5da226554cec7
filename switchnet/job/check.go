package job

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// check finds what contradicts itself and says where in the file. Of a value that
// was complained about already, and of what depends on it, nothing more is said.
func (r *reader) check() {
	if r.spoiled {
		return
	}
	f := r.out
	var problems wiring.Problems
	if f.HasWiring() {
		problems = append(problems, r.problems(f.wiringError())...)
	}
	if f.HasIntent() || !f.HasWiring() {
		type saying struct {
			at     wiring.Ref
			detail string
		}
		said := map[saying]bool{}
		for _, p := range problems {
			said[saying{p.At, p.Detail}] = true
		}
		for _, p := range r.problems(f.Intent.Check()) {
			// An intent is also judged by what its own feeds, boxes and
			// lights make as a wiring. With the rest of the wiring there, that
			// was judged above, but for the names that an intent uses.
			again := slices.Contains([]string{"supply", "installed", "boxes"}, p.At.List) ||
				slices.Contains([]string{"feeds", "lights"}, p.At.List) && p.At.Field != "name"
			if !f.HasWiring() || !again && !said[saying{p.At, p.Detail}] {
				problems = append(problems, p)
			}
		}
	}
	for _, p := range append(problems, r.judged()...) {
		r.contradiction(p)
	}
}

// judged returns what [Options.Judge] finds and an intent does not say itself.
func (r *reader) judged() wiring.Problems {
	if r.opt == nil || r.opt.Judge == nil || r.out.Region == nil {
		return nil
	}
	own := r.problems(r.out.Intent.Check())
	return slices.DeleteFunc(r.problems(r.opt.Judge(r.out)), func(p *wiring.Problem) bool {
		return slices.ContainsFunc(own, func(o *wiring.Problem) bool { return o.At == p.At && o.Detail == p.Detail })
	})
}

func (f *File) wiringError() error { _, err := wiring.New(f.Wiring); return err }

// problems unpacks an error. One of another sort would be a mistake of the package
// it comes from; it is reported at the top rather than hidden.
func (r *reader) problems(err error) wiring.Problems {
	var ps wiring.Problems
	if err != nil && !errors.As(err, &ps) {
		r.doc.Root().Report(strict.Report{Found: err.Error()})
	}
	return ps
}

// contradiction reports a problem of a wiring or an intent.
func (r *reader) contradiction(p *wiring.Problem) {
	if r.known(p) {
		return
	}
	n := find(r.out.lists, p.At)
	if n == nil {
		n = r.doc.Root()
	}
	rep := strict.Report{Found: p.Detail}
	if len(p.Candidates) > 0 {
		rep.Expected = some(p.Candidates, p.More)
		texts := []string{n.Raw()}
		if before, after, ok := cut(n.Raw()); ok {
			texts = append(texts, before, after)
		}
		rep.Fix = r.didYouMean(p.Candidates, texts...)
		if after := texts[len(texts)-1]; after == "ground" || after == "earth" {
			rep.Fix = cmp.Or(rep.Fix, groundFix)
		}
	}
	if p.Also != nil {
		rep.Other = find(r.out.lists, *p.Also)
		rep.Note = "the other is here"
		if one := singular[p.Also.List]; one != "" && p.Also.List != p.At.List {
			rep.Note = "the " + one + " is here"
		}
	}
	n.Report(rep)
}

// singular gives the word for an entry of a list.
var singular = map[string]string{"feeds": "feed", "boxes": "box", "lights": "light", "controls": "control", "stairs": "stair", "cables": "cable",
	"devices": "device", "splices": "splice", "landings": "landing", "caps": "cap"}

// known reports whether the trouble with what a problem is about was reported
// already.
func (r *reader) known(p *wiring.Problem) bool {
	at := p.At
	entry := wiring.Ref{List: at.List, Index: at.Index}
	at.Field = key(at)
	first, _, _ := strings.Cut(at.Field, " ")
	if r.bad[at] || r.bad[entry] || r.bad[wiring.Ref{List: at.List, Index: at.Index, Field: first}] {
		return true
	}
	if at.List == "supply" || at.List == "feeds" && at.Field == "lines" && r.bad[wiring.Ref{List: "file", Field: "supply"}] {
		return true
	}
	if r.missing(p) {
		return true
	}
	w := &r.out.Wiring
	joint := func(box string, j wiring.Joint) bool {
		if j.Device != "" {
			return r.badOwner(box, j.Device)
		}
		return r.badCable(j.Wire.Cable)
	}
	i := at.Index
	switch at.List {
	case "lights":
		return (first == "ends" || first == "on") && r.badOwner(w.Lights[i].Box, w.Lights[i].On)
	case "splices":
		if k, ok := number(at.Field); ok && k < len(w.Splices[i].Join) {
			return joint(w.Splices[i].Box, w.Splices[i].Join[k])
		}
	case "ties":
		if at.Field == "join 0" {
			return joint(w.Ties[i].Box, w.Ties[i].A)
		}
		return at.Field == "join 1" && joint(w.Ties[i].Box, w.Ties[i].B)
	case "landings":
		return first == "wire" && r.badCable(w.Landings[i].Wire.Cable) || first == "terminal" && r.badOwner(w.Landings[i].Box, w.Landings[i].Device)
	case "caps":
		return first == "wire" && r.badCable(w.Caps[i].Wire.Cable)
	case "marks":
		return first == "wire" && r.badCable(w.Marks[i].Wire.Cable)
	case "tags":
		return first == "wire" && r.badCable(w.Tags[i].Wire.Cable)
	case "opens":
		return r.badCable(w.Opens[i].Cable)
	}
	return false
}

// missing reports whether a problem is that a name is unknown, which may be that of
// an entry whose name could not be read.
func (r *reader) missing(p *wiring.Problem) bool {
	if len(r.nameless) == 0 {
		return false
	}
	first, _, _ := strings.Cut(key(p.At), " ")
	switch first {
	case "box", "from", "to", "places", "levels":
		return r.nameless["boxes"]
	case "lights":
		return r.nameless["lights"]
	case "feed":
		return r.nameless["feeds"]
	case "device", "terminal", "ends", "on":
		return r.nameless["devices"] || r.nameless["lights"] || r.nameless["feeds"]
	case "wire", "join", "":
		return r.nameless["cables"]
	}
	return false
}

// badCable reports whether a cable has something that its wires depend on and that
// cannot be used.
func (r *reader) badCable(name string) bool {
	for _, n := range []string{"type", "conductors", "from", "to"} {
		if i, ok := r.cables[name]; ok && r.bad[wiring.Ref{List: "cables", Index: i, Field: n}] {
			return true
		}
	}
	return false
}

// badOwner reports whether the kind of a device cannot be used.
func (r *reader) badOwner(box, name string) bool {
	at, ok := r.owners[switchnet.Ref{Place: box, Name: name}]
	at.Field = "kind"
	return ok && r.bad[at]
}

// number returns the number in a field such as "join 2".
func number(field string) (int, bool) {
	_, after, ok := strings.Cut(field, " ")
	n, err := strconv.Atoi(after)
	return n, ok && err == nil
}

// keys gives the key of the file for a field that package wiring or intent calls
// otherwise.
var keys = map[wiring.Ref]string{
	{List: "boxes", Field: "metal"}: "material",
	{List: "needs", Field: "kind"}:  "needs",
}

// key returns the key of the file that a ref is about.
func key(ref wiring.Ref) string {
	if k, ok := keys[wiring.Ref{List: ref.List, Field: ref.Field}]; ok {
		return k
	}
	return ref.Field
}

// find returns the node a ref is about: that of its field if the file has it, or
// that of the entry; nil if there is none.
func find(lists map[string][]*strict.Node, ref wiring.Ref) *strict.Node {
	nodes := lists[ref.List]
	if ref.Index < 0 || ref.Index >= len(nodes) {
		return nil
	}
	n := nodes[ref.Index]
	if n.Kind() != strict.KindMap {
		return n
	}
	field := key(ref)
	first, _, _ := strings.Cut(field, " ")
	value := child(n, field)
	if value == nil {
		value = child(n, first)
	}
	if ref.List == "cables" && field == "type" && child(n, "conductors") != nil {
		value = child(n, "conductors")
	}
	if value == nil {
		return n
	}
	if i, ok := number(field); ok && value.Kind() == strict.KindList {
		if items := value.List(""); i < len(items) {
			return items[i]
		}
	}
	return value
}

// child returns the value of a key of a node of keys and values, nil if it is not
// there.
func child(n *strict.Node, key string) *strict.Node { return n.Map("").Get(key) }

// suggestions is how many candidates are compared for one file before no more
// suggestions are made: near-miss search must not make a bad file slow.
const suggestions = 500_000

// didYouMean suggests the candidate nearest to one of the texts.
func (r *reader) didYouMean(candidates []string, texts ...string) string {
	for _, t := range texts {
		r.asked += len(candidates)
		if r.asked > suggestions {
			return ""
		}
		if s := strict.DidYouMean(t, candidates); s != "" {
			return s
		}
	}
	return ""
}

// some lists words, the first of them if they are many, and how many more there
// are. An empty one, the name of something that has none, is left out.
func some(words []string, more int) string {
	var first []string
	for _, w := range words {
		switch {
		case w == "":
		case len(first) < wiring.MaxCandidates:
			first = append(first, w)
		default:
			more++
		}
	}
	if more > 0 {
		return fmt.Sprintf("one of %s and %d more", strings.Join(first, ", "), more)
	}
	return join(first)
}

// join returns "a, b or c".
func join(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
	return strings.Join(words, "")
}

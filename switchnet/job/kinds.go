package job

import (
	"fmt"
	"strings"

	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet"
)

// builtIn returns the kinds that every file knows, in name order. Breakers are
// feeds.
func builtIn() []switchnet.Kind {
	var out []switchnet.Kind
	for _, k := range switchnet.Kinds() {
		if !k.Breaker {
			out = append(out, k)
		}
	}
	return out
}

// otherWords are what the trade, or another region, calls a built-in kind.
var otherWords = map[string]string{
	"one-way": "single-pole", "1-way": "single-pole", "single": "single-pole", "single pole": "single-pole", "spst": "single-pole", "s1": "single-pole",
	"two-way": "three-way", "2-way": "three-way", "3-way": "three-way", "three way": "three-way", "two way": "three-way", "spdt": "three-way", "s3": "three-way", "changeover": "three-way",
	"intermediate": "four-way", "crossover": "four-way", "reversing": "four-way", "4-way": "four-way", "four way": "four-way", "s4": "four-way",
	"double pole": "double-pole", "dpst": "double-pole", "2-pole": "double-pole", "two-pole": "double-pole",
	"outlet": "receptacle", "socket": "receptacle", "duplex": "receptacle",
	"sensor": "electronic switch", "timer": "electronic switch", "smart switch": "electronic switch", "dimmer": "three-way dimmer",
}

func (r *reader) readKinds() {
	r.kinds = map[string]switchnet.Kind{}
	for _, k := range builtIn() {
		r.kinds[k.Name] = k
		r.kindIDs = append(r.kindIDs, k.Name)
	}
	r.badKinds = map[string]bool{}
	own := map[string]*strict.Node{}
	r.each("kinds", "a kind of device", func(e *entry) {
		k := switchnet.Kind{
			Name:       e.need("name", "the name of the kind"),
			Terminals:  e.texts("terminals", "a list of terminals", "the name of a terminal"),
			Electronic: e.yes("electronic"),
			Dimmer:     e.yes("dimmer"),
		}
		for _, n := range e.list("terminals", "") {
			if strings.Contains(n.Raw(), ".") {
				n.Report(strict.Report{Found: fmt.Sprintf("the terminal %q has a dot in its name", n.Raw()), Expected: "a name without a dot, because a dot stands between device and terminal"})
				r.badKinds[k.Name] = true
			}
		}
		r.parts(e, "positions", "a position", func(p *entry) {
			pos := switchnet.Position{Name: p.need("name", "the name of the position")}
			for _, n := range p.list("joins", "a list of the groups of terminals that are joined") {
				var group []string
				for _, t := range n.List("a list of terminals that are joined") {
					s, _ := t.Text("the name of a terminal")
					group = append(group, s)
				}
				pos.Joins = append(pos.Joins, group)
			}
			k.Positions = append(k.Positions, pos)
		})
		r.parts(e, "inside", "a load inside a device", func(p *entry) {
			k.Internal = append(k.Internal, switchnet.InternalLoad{
				Name: p.need("name", "what it is"),
				From: p.need("from", "one of the terminals it is on"),
				To:   p.need("to", "the other terminal it is on"),
			})
		})
		r.define(e, k, own)
	})
}

// define enters a kind of the file's own.
func (r *reader) define(e *entry, k switchnet.Kind, own map[string]*strict.Node) {
	n := e.m.Get("name")
	_, taken := r.kinds[k.Name]
	switch {
	case n == nil:
		return
	case own[k.Name] != nil:
		n.Report(strict.Report{Found: fmt.Sprintf("a kind called %q exists already", k.Name), Expected: "another name", Other: own[k.Name], Note: "the first is here"})
		return
	case taken:
		n.Report(strict.Report{Found: fmt.Sprintf("%q is a built-in kind", k.Name), Expected: "another name"})
		return
	}
	own[k.Name] = n
	for _, p := range k.Validate() {
		n.Report(strict.Report{Found: p.Error()})
		r.badKinds[k.Name] = true
	}
	r.kinds[k.Name] = k
	r.kindIDs = append(r.kindIDs, k.Name)
	r.out.Kinds = append(r.out.Kinds, k)
}

// kind returns the kind a device is of.
func (r *reader) kind(e *entry) switchnet.Kind {
	const what = "the kind of device, such as three-way"
	if e.m.Need("kind", what) == nil {
		e.spoil("kind")
		return switchnet.Kind{}
	}
	if r.badKinds[e.m.Get("kind").Raw()] {
		e.spoil("kind") // the file says what is wrong with it where it is defined
		return switchnet.Kind{}
	}
	return value(e, "kind", what, func(s string) (switchnet.Kind, error) {
		if k, ok := r.kinds[s]; ok {
			return k, nil
		}
		if k, ok := r.kinds[r.term(s)]; ok {
			return k, nil
		}
		w := &wrong{found: fmt.Sprintf("%q is not a kind of device", s), expected: some(r.kindIDs, 0)}
		other, known := otherWords[strings.ToLower(s)]
		switch {
		case strings.Contains(strings.ToLower(s), "breaker"):
			w.fix = "a breaker that feeds a circuit stands under feeds"
		case known:
			w.fix = fmt.Sprintf("that is called %s here: write kind: %s", other, other)
		default:
			w.fix = r.didYouMean(r.kindIDs, s)
		}
		return switchnet.Kind{}, w
	})
}

package rules

import (
	"cmp"
	"encoding"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/strict"
)

// reader turns the body of a rule file, overlays laid upon it, into a Region.
// What it cannot read it reports to the file the text stands in.
type reader struct {
	edition  string                           // of every row that does not state its own
	overlays map[*strict.Doc]conductor.Source // what rows taken from an overlay cite
	region   *Region
}

// removal is the word by which an overlay or an extending file takes out what
// the region states: 'name: left out'.
const removal = "left out"

// value reads a scalar with parse, whose error becomes the message.
func value[T any](n *strict.Node, what string, parse func(string) (T, error)) (v T, ok bool) {
	text, ok := n.Text(what)
	if !ok {
		return v, false
	}
	v, err := parse(text)
	if err != nil {
		n.Report(strict.Report{Found: strings.TrimPrefix(err.Error(), "rules: "), Expected: what})
		return v, false
	}
	return v, true
}

// wordOf reads a scalar that is one of the words of an enumeration of another
// package.
func wordOf[T any, P interface {
	*T
	encoding.TextUnmarshaler
}](n *strict.Node, what string) (v T, ok bool) {
	return value(n, what, func(text string) (v T, err error) { return v, P(&v).UnmarshalText([]byte(text)) })
}

// own reads a scalar that is one of the words of an enumeration of this
// package.
func own[E ~uint8](n *strict.Node, what string, words []string) (E, bool) {
	text, ok := n.OneOf(what, words[1:]...)
	if !ok {
		return 0, false
	}
	return E(slices.Index(words, text)), true
}

// set reads a needed value into a field.
func set[T any](m *strict.Map, key, what string, parse func(string) (T, error), field *T) {
	if v, ok := value(m.Need(key, what), what, parse); ok {
		*field = v
	}
}

// setOptional reads a value that may be absent into a field.
func setOptional[T any](m *strict.Map, key, what string, parse func(string) (T, error), field *T) {
	if v, ok := value(m.Get(key), what, parse); ok {
		*field = v
	}
}

// setWord reads a needed word into a field.
func setWord[T any, P interface {
	*T
	encoding.TextUnmarshaler
}](m *strict.Map, key, what string, field *T) {
	if v, ok := wordOf[T, P](m.Need(key, what), what); ok {
		*field = v
	}
}

func plainText(text string) (string, error) { return text, nil }

func text(m *strict.Map, key, what string, field *string) { set(m, key, what, plainText, field) }

func optionalText(m *strict.Map, key, what string, field *string) {
	setOptional(m, key, what, plainText, field)
}

// yes reads an optional 'yes' or 'no'.
func yes(m *strict.Map, key string, field *bool) {
	if text, ok := m.Get(key).OneOf("yes or no", "yes", "no"); ok {
		*field = text == "yes"
	}
}

const mostCount = 1_000_000

func parseCount(text string) (int, error) {
	n, err := strconv.ParseUint(text, 10, 31)
	if err != nil || n > mostCount {
		return 0, problem("%q is not a whole number from 0 to %d", text, mostCount)
	}
	return int(n), nil
}

func parseYear(text string) (int, error) {
	n, err := strconv.ParseUint(text, 10, 16)
	if err != nil || n < 1800 || n > 2999 {
		return 0, problem("%q is not the year of an edition, such as 2023", text)
	}
	return int(n), nil
}

func parseDuration(text string) (time.Duration, error) {
	d, err := time.ParseDuration(strings.ReplaceAll(text, " ", ""))
	if err != nil || d <= 0 {
		return 0, problem("%q is not a duration, such as 3 h", text)
	}
	return d, nil
}

// cited is the source of a group of rows and the file that states it.
type cited struct {
	conductor.Source
	by *strict.Doc
}

// of returns the source of a figure of the group: its own when an overlay
// that does not state the group's section gave it.
func (c cited) of(r *reader, figure *strict.Node) conductor.Source {
	if amended, ok := r.overlays[figure.Doc()]; ok && figure.Doc() != c.by {
		return amended
	}
	return c.Source
}

// source reads where the rows of a group stand and how sure they are. What an
// overlay changes cites the overlay, unless it states its own section; its edition is
// then that of the row, or else of the overlay, which may have none.
func (r *reader) source(m *strict.Map) cited {
	s := cited{Source: conductor.Source{Edition: r.edition}}
	section := m.Key("section")
	if s.by = section.Doc(); section == nil {
		s.by = m.Node().Doc()
	}
	for _, e := range m.Node().Entries() {
		if e.Value.Kind() == strict.KindMap || e.Key == section {
			continue // a figure inside a map is looked at by itself
		}
		if amended, ok := r.overlays[e.Value.Doc()]; ok && (section == nil || e.Value.Doc() != s.by) {
			s = cited{amended, e.Value.Doc()}
		}
	}
	if amended, ok := r.overlays[s.by]; ok && section == nil {
		s = cited{amended, s.by}
	}
	if s.Section != "" {
		m.Get("confidence")
		m.Get("edition")
		return s
	}
	if over, ok := r.overlays[section.Doc()]; ok {
		s.Edition = over.Edition // a local ordinance is of no edition of the code
	}
	text(m, "section", "the section of the code that the figures stand in", &s.Section)
	setWord(m, "confidence", "how well the figures were checked: high, medium or low", &s.Confidence)
	optionalText(m, "edition", "the edition of the code", &s.Edition)
	return s
}

// groups reads a map of named groups of rows, each with its source.
func (r *reader) groups(n *strict.Node, what string, row func(name *strict.Node, m *strict.Map, s cited)) {
	entries(n, "a list of "+what+" by name", func(name, v *strict.Node) {
		m := v.Map(what)
		if m == nil {
			return
		}
		if _, ok := r.overlays[v.Doc()]; ok && m.Key("section") == nil {
			// amended groups have the section of the region: this one is new,
			// or its name is wrong, and then the amendment would be lost
			known := r.namesOf(n)
			name.Report(strict.Report{Found: fmt.Sprintf("the region has no %q to amend", name.Raw()), Expected: strings.Join(known, ", "),
				Fix: cmp.Or(strict.DidYouMean(name.Raw(), known), "give it a section and a confidence if it is meant to be new")})
		}
		row(name, m, r.source(m))
		m.Done()
	})
}

// namesOf returns the names of the groups that the region itself states.
func (r *reader) namesOf(n *strict.Node) []string {
	var names []string
	for _, e := range n.Entries() {
		if _, ok := r.overlays[e.Value.Doc()]; !ok {
			names = append(names, e.Key.Raw())
		}
	}
	return names
}

// rule reads a rule of one row, absent when its key is.
func (r *reader) rule(m *strict.Map, key, what string, row func(m *strict.Map, s cited)) {
	if rule := m.Get(key).Map(what); rule != nil {
		row(rule, r.source(rule))
		rule.Done()
	}
}

// entries reads a map whose keys are names that the writer chose.
func entries(n *strict.Node, what string, entry func(key, value *strict.Node)) {
	if n.Empty() {
		return
	}
	for _, e := range n.Map(what).Entries() {
		entry(e.Key, e.Value)
	}
}

// figures reads a map of figures of one source: the key with one parser, the
// value with another.
func figures[K, V any](r *reader, n *strict.Node, what string, s cited,
	key func(string) (K, error), val func(string) (V, error), row func(K, V, conductor.Source)) {
	entries(n, what, func(k, v *strict.Node) {
		a, okKey := value(k, what, key)
		b, okValue := value(v, what, val)
		if !okKey || !okValue {
			return
		}
		row(a, b, s.of(r, v))
	})
}

// each reads a list of scalars.
func each[T any](n *strict.Node, what string, parse func(string) (T, error)) []T {
	var list []T
	for _, item := range n.List("a list of " + what) {
		if v, ok := value(item, what, parse); ok {
			list = append(list, v)
		}
	}
	return list
}

// materials reads the metals a group of rows holds for.
func materials(m *strict.Map) []conductor.Material {
	return each(m.Need("materials", "a list of conductor materials"), "a conductor material", conductor.ParseMaterial)
}

// lengths reads a length in one or two systems: the first ruling.
func lengths(n *strict.Node, what string) (length, metric quantity.Length) {
	if n.Kind() != strict.KindList {
		length, _ = value(n, what, quantity.ParseLength)
		return length, 0
	}
	list := each(n, what, quantity.ParseLength)
	if len(list) > 0 {
		length = list[0]
	}
	if len(list) > 1 {
		metric = list[1]
	}
	if len(list) > 2 {
		n.Report(strict.Report{Found: "found " + strconv.Itoa(len(list)) + " lengths", Expected: "one, or the customary and the metric one"})
	}
	return length, metric
}

// sortedBy sorts a list by name.
func sortedBy[T any](list []T, name func(T) string) {
	slices.SortFunc(list, func(a, b T) int { return strings.Compare(name(a), name(b)) })
}

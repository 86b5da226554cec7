package course

import (
	_ "embed"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet/lab"
)

//go:embed starter.yaml
var starter []byte

// Starter returns an exercise file with every key explained, ready to be used.
func Starter() []byte { return slices.Clone(starter) }

// Errors is everything that is wrong with a file, in its order.
type Errors = strict.Errors

// Options say how an exercise file is read; nil means the defaults.
type Options struct {
	// Region returns the region that a file names; nil means those of package rules.
	Region func(id string) (*rules.Region, error)
	// Task returns a task by its name; nil means lab.Lookup. Names are the names it
	// knows, for suggestions; nil means lab.Names.
	Task  func(name string) (lab.Task, bool)
	Names []string
}

// Parse reads an exercise file, calling it name in messages. The error is an *Errors
// with everything that is wrong.
func Parse(name string, src []byte, opt *Options) (*File, error) {
	if opt == nil {
		opt = &Options{}
	}
	r := reader{opt: *opt, out: &File{Name: name}}
	if r.opt.Region == nil {
		r.opt.Region = func(id string) (*rules.Region, error) { return rules.Load(id) }
	}
	if r.opt.Task == nil {
		r.opt.Task, r.opt.Names = lab.Lookup, lab.Names()
	}
	doc, err := strict.Parse(name, src, strict.Options{MaxBytes: 256 << 10})
	if err != nil {
		return nil, err
	}
	r.file(doc.Root().Map("an exercise file"))
	if err := doc.Err(); err != nil {
		return nil, err
	}
	return r.out, nil
}

type reader struct {
	opt Options
	out *File
}

func (r *reader) file(m *strict.Map) {
	f := r.out
	if n := m.Need("format", "the version of the format, as the first line: format: 1"); n != nil {
		n.OneOf("the version of the format", "1")
	}
	f.Title = line(m.Need("title", "the title of the exercise"), "the title of the exercise")
	f.Region = value(m.Need("region", "the region whose rules hold, such as us-2023"), "a region", r.opt.Region)
	r.base(m.Need("base", "the name of a job file, or what to generate"))
	f.Variants = count(m.Need("variants", "how many different papers there are"), "how many different papers there are", 1, MaxVariants)
	f.Seed = value(m.Get("seed"), "a seed", func(s string) (uint64, error) {
		n, err := strconv.ParseUint(s, 10, 63)
		if err != nil {
			return 0, errors.New("it is a whole number, 0 or more")
		}
		return n, nil
	})
	f.Minutes = value(m.Get("time"), "a time", minutes)
	f.Row = count(m.Get("row"), "how many sit in a row", 1, MaxStudents)
	f.Danger = count(m.Get("danger"), "the marks that a dangerous move costs", 0, MaxMarks)
	if n := m.Get("tools"); n != nil {
		r.tools(n)
	}
	tasks := m.Need("tasks", "a list of tasks")
	list := tasks.List("a list of tasks")
	if tasks.Sound() && len(list) == 0 {
		tasks.Report(strict.Report{Found: "there is no task", Expected: "one task at least", Fix: "write - {task: predict lights, marks: 10}"})
	}
	if len(list) > MaxTasks {
		list[MaxTasks].Report(strict.Report{Found: fmt.Sprintf("there are %d tasks", len(list)), Expected: fmt.Sprintf("%d at most", MaxTasks), Fix: "make two exercise files"})
		list = list[:MaxTasks]
	}
	for _, n := range list {
		r.task(n.Map("a task"))
	}
	m.Done()
}

func (r *reader) base(n *strict.Node) {
	switch {
	case n == nil:
		return
	case n.Kind() == strict.KindScalar && !n.Empty():
		r.out.JobName = line(n, "the name of a job file")
		return
	}
	m := n.Map("what to generate")
	rec := &r.out.Recipe
	rec.Region = r.out.Region
	rec.Places = value(m.Get("places"), "how many places there are", between(1, lab.MaxPlaces))
	rec.Lights = value(m.Get("lights"), "how many lights there are", between(1, lab.MaxLights))
	gangs := m.Get("two gang")
	rec.TwoGang = value(gangs, "how many places have a second switch", between(0, 3))
	rec.NoTwoGang = gangs.Sound() && rec.TwoGang == lab.Range{}
	rec.Spare = value(m.Get("spare"), "how many runs there are beside", between(0, 6))
	rec.Breaker = value(m.Get("breaker"), "a rating", quantity.ParseCurrent)
	rec.Feed = value(m.Get("feed"), "where the feed comes in", site)
	rec.Light = value(m.Get("light"), "where the first light hangs", site)
	m.Done()
	if n.Doc().Err() != nil || rec.Region == nil {
		return
	}
	if _, err := lab.Generate(*rec); err != nil {
		n.Report(strict.Report{Found: "this cannot be generated: " + strings.TrimPrefix(err.Error(), "lab: ")})
	}
}

func (r *reader) tools(n *strict.Node) {
	list := n.List("a list of moves")
	if n.Sound() && len(list) == 0 {
		n.Report(strict.Report{Found: "no move is allowed", Expected: "a list such as [look, flip, read]", Fix: "leave the key out to allow all"})
	}
	r.out.Tools = []lab.Verb{}
	var words []string
	for _, v := range lab.Verbs() {
		words = append(words, v.String())
	}
	for _, t := range list {
		s, ok := t.OneOf("a move", words...)
		if !ok {
			continue
		}
		v := lab.Verbs()[slices.Index(words, s)]
		if slices.Contains(r.out.Tools, v) {
			t.Report(strict.Report{Found: s + " is there twice", Fix: "write it once"})
			continue
		}
		r.out.Tools = append(r.out.Tools, v)
	}
	slices.Sort(r.out.Tools)
}

func (r *reader) task(m *strict.Map) {
	var a Asked
	if n := m.Need("task", "the name of a task"); n != nil {
		if s, ok := n.Text("the name of a task"); ok {
			if a.Task, ok = r.opt.Task(s); !ok {
				rep := strict.Report{Found: fmt.Sprintf("there is no task %q", s), Expected: "one of " + strings.Join(r.opt.Names, ", ")}
				rep.Fix = strict.DidYouMean(s, r.opt.Names)
				n.Report(rep)
			}
		}
	}
	a.Marks = count(m.Need("marks", "what a right answer is worth"), "what a right answer is worth", 1, MaxMarks)
	a.Level = value(m.Get("level"), "a difficulty", lab.ParseBand)
	m.Done()
	r.out.Tasks = append(r.out.Tasks, a)
}

// value reads a scalar by a function; a node that is not there gives the zero value.
func value[T any](n *strict.Node, what string, parse func(string) (T, error)) T {
	var zero T
	if n == nil {
		return zero
	}
	s, ok := n.Text(what)
	if !ok {
		return zero
	}
	v, err := parse(s)
	if err != nil {
		n.Report(strict.Report{Found: fmt.Sprintf("%q is not %s that can be used: %s", short(s), what, strings.TrimPrefix(err.Error(), "lab: "))})
		return zero
	}
	return v
}

func count(n *strict.Node, what string, least, most int) int {
	return value(n, what, func(s string) (int, error) {
		k, err := strconv.Atoi(s)
		if err != nil || k < least || k > most || strings.HasPrefix(s, "+") {
			return 0, fmt.Errorf("it is a whole number from %d to %d", least, most)
		}
		return k, nil
	})
}

// line reads a text of one line.
func line(n *strict.Node, what string) string {
	return value(n, what, func(s string) (string, error) {
		if err := plainText(s, 200); err != nil {
			return "", err
		}
		return s, nil
	})
}

func between(least, most int) func(string) (lab.Range, error) {
	return func(s string) (lab.Range, error) {
		from, to, two := strings.Cut(s, " to ")
		a, err := strconv.ParseUint(strings.TrimSpace(from), 10, 16)
		b := a
		if err == nil && two {
			b, err = strconv.ParseUint(strings.TrimSpace(to), 10, 16)
		}
		if err != nil || int(a) < least || int(b) > most || b < a {
			return lab.Range{}, fmt.Errorf("it is a figure such as %d or a range such as %d to %d, within %d to %d", least, least, least+1, least, most)
		}
		return lab.Range{Least: int(a), Most: int(b)}, nil
	}
}

func site(s string) (lab.Site, error) {
	var at lab.Site
	if s == at.String() {
		return at, nil
	}
	err := at.UnmarshalText([]byte(s))
	return at, err
}

func minutes(s string) (int, error) {
	text, ok := strings.CutSuffix(s, " min")
	n, err := strconv.ParseUint(text, 10, 16)
	if !ok || err != nil || n < 1 || n > 1440 {
		return 0, errors.New("it is written in minutes, 1 to 1440: 45 min")
	}
	return int(n), nil
}

// short returns the beginning of a text.
func short(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "..."
	}
	return s
}

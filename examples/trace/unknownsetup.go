package main

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/trace/lines"
	"example.com/switchleg/switchnet/wiring"
)

// boxSetup is how the boxes are taken: which stand open if that is said, and what has been
// done in them.
type boxSetup struct {
	open, disturbed, parted, released []string
}

// fields returns the lists with the word of each, which is that of its flag too.
func (b *boxSetup) fields() []setupField {
	return []setupField{{"open", &b.open}, {"disturbed", &b.disturbed}, {"parted", &b.parted}, {"released", &b.released}}
}

type setupField struct {
	word  string
	boxes *[]string
}

// kept is what a file keeps of a talk.
type kept struct {
	name  string
	setup []keptLine // how the boxes were taken
	said  []keptLine
}

// keptLine is a line of a file, and whether an empty one stands before it.
type keptLine struct {
	n     int
	text  string
	begin bool
}

// readKept reads what was kept, which begins with a mark.
func readKept(name, mark string) (*kept, error) {
	text, err := os.ReadFile(name)
	if err != nil {
		return nil, fmt.Errorf("cannot read what was done before: %w", err)
	}
	if len(text) > maxFile {
		return nil, fmt.Errorf("%s: is larger than %d bytes", name, maxFile)
	}
	all := strings.Split(strings.TrimPrefix(string(text), "\ufeff"), "\n")
	if strings.TrimSpace(all[0]) != mark {
		return nil, fmt.Errorf("%s:1:1: this is not what was kept for this job file as it is now", name)
	}
	k := &kept{name: name}
	begin := true
	for i, line := range all[1:] {
		at := keptLine{i + 2, strings.TrimSpace(line), begin}
		switch {
		case at.text == "":
			begin = true
			continue
		case blank(at.text):
			continue
		case len(k.said) == 0 && slices.Contains([]string{"open", "disturbed", "parted", "released"}, firstWord(at.text)):
			k.setup = append(k.setup, at)
			continue
		}
		begin = false
		k.said = append(k.said, at)
	}
	return k, nil
}

// boxSetup returns how the boxes are taken: as the flags say, and where a flag is not given
// as was kept.
func (c *call) boxSetup(w *wiring.Wiring, was *kept) (boxSetup, error) {
	var b boxSetup
	var m program.Mistakes
	given := [][]string{c.open, c.disturbed, c.parted, c.released}
	for i, f := range b.fields() {
		for _, text := range given[i] {
			for _, name := range boxesIn(text, w) {
				if err := searched(w, name); err != nil {
					m.Add(f.word, "%v", err)
				}
				*f.boxes = append(*f.boxes, name)
			}
		}
	}
	if err := m.Err(); err != nil {
		return b, err
	}
	if was != nil {
		var wrong []error
		for _, line := range was.setup {
			if err := b.take(line.text, given, w); err != nil {
				wrong = append(wrong, placed(was.name, line.n, err))
			}
		}
		if len(wrong) > 0 {
			return b, errors.Join(wrong...)
		}
	}
	for _, f := range b.fields() {
		slices.Sort(*f.boxes)
		*f.boxes = slices.Compact(*f.boxes)
	}
	for _, name := range b.parted {
		if slices.Contains(b.released, name) {
			m.Add("released", "%q is said to be taken apart too; give one of -parted and -released", name)
		}
	}
	return b, m.Err()
}

// take takes a line of a file that says how boxes are taken, unless a flag says it.
func (b *boxSetup) take(line string, given [][]string, w *wiring.Wiring) error {
	words, err := lines.Split(line)
	if err != nil {
		return err
	}
	if len(words) < 2 {
		return &lines.Error{Column: 1, Detail: fmt.Sprintf("which boxes are %s is missing", words[0].Text)}
	}
	for i, f := range b.fields() {
		if f.word != words[0].Text || len(given[i]) > 0 {
			continue
		}
		for _, word := range words[1:] {
			if err := searched(w, word.Text); err != nil {
				return &lines.Error{Column: word.Column, Detail: err.Error()}
			}
			*f.boxes = append(*f.boxes, word.Text)
		}
	}
	return nil
}

// boxesIn returns the boxes that a flag names: one, or several with commas between.
func boxesIn(text string, w *wiring.Wiring) []string {
	if slices.ContainsFunc(w.Spec().Boxes, func(b wiring.Box) bool { return b.Name == text }) {
		return []string{text}
	}
	parts := strings.Split(text, ",")
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	return parts
}

// searched says why a box cannot be one of those that are searched, if it cannot.
func searched(w *wiring.Wiring, name string) error {
	spec := w.Spec()
	var enters []string // boxes into which a cable goes, but for panels
	panel := func(name string) bool {
		return slices.ContainsFunc(spec.Feeds, func(f wiring.Feed) bool { return f.Box == name }) ||
			slices.ContainsFunc(spec.Boxes, func(b wiring.Box) bool { return b.Name == name && b.Kind == wiring.Panel })
	}
	for _, b := range spec.Boxes {
		if !panel(b.Name) && slices.ContainsFunc(spec.Cables, func(c wiring.Cable) bool { return c.From == b.Name || c.To == b.Name }) {
			enters = append(enters, quoted(b.Name))
		}
	}
	slices.Sort(enters)
	has := "; name one of " + strings.Join(enters, ", ")
	switch {
	case name == "":
		return errors.New("a box is missing" + has)
	case !slices.ContainsFunc(spec.Boxes, func(b wiring.Box) bool { return b.Name == name }):
		return fmt.Errorf("the job has no box %q%s", name, has)
	case panel(name):
		return fmt.Errorf("%q is a panel, which is not searched%s", name, has)
	case !slices.Contains(enters, quoted(name)):
		return fmt.Errorf("no cable of the job enters box %q: list those that do, with to: unknown where nobody knows where they go%s", name, has)
	}
	return nil
}

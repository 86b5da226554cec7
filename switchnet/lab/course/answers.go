package course

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet/lab"
)

// MaxAnswers is how large a file of answers may be, in bytes.
const MaxAnswers = 256 << 10

// Form returns the file that a student fills in: YAML with a question and an empty answer
// for every field. ParseAnswers reads it.
func (p *Paper) Form() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# %s, for %s\n# Write each answer after its colon: of choices the letter, or the words in quotation\n# marks. What stands after a # is a remark.\n# %s\n", oneLine(p.file.Title), oneLine(p.Student.String()), lab.Supervised)
	fmt.Fprintf(&b, "sheet: %s\n", p.Sheet)
	for i, x := range p.Variant.Exercises {
		s := x.Sheet()
		fmt.Fprintf(&b, "\n# Question %d: %s\nq%d:\n", i+1, oneLine(s.Title), i+1)
		for _, f := range s.Fields {
			fmt.Fprintf(&b, "  # %s\n", oneLine(f.Ask))
			if len(f.Choices) > 0 {
				fmt.Fprintf(&b, "  # one of: %s\n", oneLine(strings.Join(withLetters(f.Choices), "; ")))
			}
			fmt.Fprintf(&b, "  %s:\n", f.ID)
		}
	}
	return b.Bytes()
}

// letterOf returns the letter by which a choice may be named; none where there are more
// choices than letters, or one is a letter itself.
func letterOf(choices []string, i int) string {
	if len(choices) > 26 || slices.ContainsFunc(choices, func(c string) bool { return len(strings.TrimSpace(c)) < 2 }) {
		return ""
	}
	return string(rune('a' + i))
}

// withLetters returns choices with their letters before them.
func withLetters(choices []string) []string {
	out := slices.Clone(choices)
	for i := range out {
		if l := letterOf(choices, i); l != "" {
			out[i] = l + ") " + out[i]
		}
	}
	return out
}

// chosen returns what an answer means: the choice whose letter it is, or what it says.
func chosen(f lab.Field, answer string) string {
	said := strings.ToLower(strings.TrimRight(strings.TrimSpace(answer), ")."))
	for i, c := range f.Choices {
		if l := letterOf(f.Choices, i); l != "" && l == said {
			return c
		}
	}
	return answer
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// ParseAnswers reads a form that a student filled in, one answer a question. Of choices
// the letter may stand for the words. The error
// lists everything that is wrong, with its place: the number of another sheet, keys that
// the paper has not, values that are no text. Fields that are left out or empty are no
// error.
func (p *Paper) ParseAnswers(name string, src []byte) ([]lab.Answer, error) {
	doc, err := strict.Parse(name, src, strict.Options{MaxBytes: MaxAnswers, MaxDepth: 8})
	if err != nil {
		return nil, err
	}
	m := doc.Root().Map("a form of answers")
	if n := m.Need("sheet", "the number of the sheet"); n != nil {
		if text, ok := n.Text("the number of the sheet"); ok && evened(text) != evened(p.Sheet) {
			n.Report(strict.Report{Found: fmt.Sprintf("%q is the number of another sheet", short(text)), Expected: p.Sheet + ", which is that of " + p.Student.String()})
		}
	}
	var answers []lab.Answer
	for i, x := range p.Variant.Exercises {
		a := lab.Answer{}
		answers = append(answers, a)
		n := m.Get(fmt.Sprintf("q%d", i+1))
		if n.Empty() {
			continue
		}
		q := n.Map("the answers of a question")
		for _, f := range x.Sheet().Fields {
			if v := q.Get(f.ID); !v.Empty() {
				if text, ok := v.Text("an answer"); ok {
					a[f.ID] = chosen(f, text)
				}
			}
		}
		q.Done()
	}
	m.Done()
	if err := doc.Err(); err != nil {
		return nil, err
	}
	return answers, nil
}

// filled returns the form with answers written in.
func (p *Paper) filled(answers []lab.Answer) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "sheet: %s\n", p.Sheet)
	for i, a := range answers {
		fmt.Fprintf(&b, "q%d:\n", i+1)
		ids := make([]string, 0, len(a))
		for id := range a {
			ids = append(ids, id)
		}
		slices.Sort(ids)
		for _, id := range ids {
			if !strings.Contains(a[id], "\n") {
				fmt.Fprintf(&b, "  %s: %s\n", id, strict.Quote(a[id]))
				continue
			}
			fmt.Fprintf(&b, "  %s: |\n    %s\n", id, strings.ReplaceAll(strings.TrimRight(a[id], "\n"), "\n", "\n    "))
		}
	}
	return b.Bytes()
}

// KeyForm returns the form with right answers filled in, for the instructor alone.
func (p *Paper) KeyForm() []byte {
	var key []lab.Answer
	for _, x := range p.Variant.Exercises {
		key = append(key, x.Key())
	}
	return p.filled(key)
}

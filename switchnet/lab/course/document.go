package course

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"example.com/switchleg/switchnet/lab"
)

//go:embed sheet.html
var sheetHTML string

var sheetTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("sheet").Parse(sheetHTML))
})

// view is what the template reads.
type view struct {
	Title, Student, Sheet string
	Minutes, Marks        int
	Tools                 []string
	Notice                []string
	Questions             []questionView
	Key                   bool
}

type questionView struct {
	Number int
	Title  string
	Marks  int
	Blocks []blockView
	Job    string
	Groups []groupView
}

// groupView is fields that follow one another and have the same choices.
type groupView struct {
	Choices []string // with their letters; nil: free
	Fields  []fieldView

	choices []string
}

// Long reports whether the choices are too long to stand in a line.
func (g groupView) Long() bool {
	return slices.ContainsFunc(g.Choices, func(c string) bool { return utf8.RuneCountInString(c) > 30 })
}

// blockView has one of its parts set.
type blockView struct {
	Text    string
	List    []string
	Table   *lab.Table
	Picture template.HTML
	Caption string
	Alt     string
}

type fieldView struct {
	ID, Ask string
	Answer  []string // lines; of a key alone
}

// view gathers a paper; key writes the answers in.
func (p *Paper) view(key bool) view {
	v := view{Title: p.file.Title, Student: p.Student.String(), Sheet: p.Sheet, Minutes: p.file.Minutes, Marks: p.file.Marks(), Key: key}
	for _, t := range p.file.Tools {
		v.Tools = append(v.Tools, t.String())
	}
	for i, x := range p.Variant.Exercises {
		s := x.Sheet()
		q := questionView{Number: i + 1, Title: s.Title, Marks: p.file.Tasks[i].Marks, Job: string(s.Job)}
		answers := lab.Answer{}
		if key {
			answers = x.Key()
		}
		for _, b := range s.Blocks {
			switch b := b.(type) {
			case lab.Text:
				q.Blocks = append(q.Blocks, blockView{Text: string(b)})
			case lab.List:
				q.Blocks = append(q.Blocks, blockView{List: b})
			case lab.Table:
				q.Blocks = append(q.Blocks, blockView{Table: &b})
			case lab.Picture:
				// An SVG element of package draw, in which names are escaped.
				q.Blocks = append(q.Blocks, blockView{Picture: template.HTML(b.SVG), Caption: b.Title, Alt: b.Alt})
			case lab.Notice:
				v.Notice = b // the same on every sheet
			}
		}
		for _, f := range s.Fields {
			w := fieldView{ID: f.ID, Ask: f.Ask}
			if key {
				w.Answer = strings.Split(answers[f.ID], "\n")
				if k := slices.Index(f.Choices, answers[f.ID]); k >= 0 && letterOf(f.Choices, k) != "" {
					w.Answer[0] += " (" + letterOf(f.Choices, k) + ")"
				}
			}
			if n := len(q.Groups); n == 0 || !slices.Equal(q.Groups[n-1].choices, f.Choices) {
				q.Groups = append(q.Groups, groupView{choices: f.Choices, Choices: withLetters(f.Choices)})
			}
			g := &q.Groups[len(q.Groups)-1]
			g.Fields = append(g.Fields, w)
		}
		v.Questions = append(v.Questions, q)
	}
	if v.Notice == nil {
		v.Notice = lab.StandardNotice()
	}
	return v
}

// SheetHTML returns the sheet of a student as one page to print or to read on a screen. It
// asks for nothing from outside.
func (p *Paper) SheetHTML() ([]byte, error) { return p.html(false) }

// KeyHTML is SheetHTML with the answers, for the instructor alone.
func (p *Paper) KeyHTML() ([]byte, error) { return p.html(true) }

func (p *Paper) html(key bool) ([]byte, error) {
	var b bytes.Buffer
	if err := sheetTemplate().Execute(&b, p.view(key)); err != nil {
		return nil, fmt.Errorf("course: %w", err)
	}
	return b.Bytes(), nil
}

// SheetText returns the sheet of a student as plain text, pictures in words.
func (p *Paper) SheetText() []byte { return p.text(false) }

// KeyText is SheetText with the answers, for the instructor alone.
func (p *Paper) KeyText() []byte { return p.text(true) }

// width is the column at which text is wrapped.
const width = 80

func (p *Paper) text(key bool) []byte {
	v := p.view(key)
	var b bytes.Buffer
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	if key {
		line("KEY, for the instructor alone")
	}
	line("%s", v.Title)
	line("Name: %s", v.Student)
	line("Sheet: %s", v.Sheet)
	if v.Minutes > 0 {
		line("Time: %d min", v.Minutes)
	}
	if len(v.Tools) > 0 {
		line("Moves allowed on practice wiring: %s", strings.Join(v.Tools, ", "))
	}
	line("Marks: %d\n", v.Marks)
	for _, n := range v.Notice {
		wrap(&b, "! ", n)
	}
	for _, q := range v.Questions {
		line("\n%s\nQuestion %d: %s (%d marks)\n", strings.Repeat("=", width), q.Number, q.Title, q.Marks)
		for _, k := range q.Blocks {
			switch {
			case k.Table != nil:
				table(&b, k.Table)
			case k.List != nil:
				for _, e := range k.List {
					wrap(&b, "  - ", e)
				}
			case k.Picture != "":
				wrap(&b, "", "["+k.Caption+"] "+k.Alt)
			default:
				wrap(&b, "", k.Text)
			}
			line("")
		}
		for _, g := range q.Groups {
			switch {
			case g.Long():
				line("  One of:")
				for _, c := range g.Choices {
					wrap(&b, "    ", c)
				}
			case len(g.Choices) > 0:
				wrap(&b, "  ", "One of: "+strings.Join(g.Choices, "; "))
			}
			for _, f := range g.Fields {
				wrap(&b, f.ID+": ", f.Ask)
				if !key {
					line("    %s", strings.Repeat("_", 40))
				}
				for _, a := range f.Answer {
					line("    ANSWER: %s", a)
				}
			}
		}
	}
	return b.Bytes()
}

// wrap writes words after a lead, further lines set in as far.
func wrap(b *bytes.Buffer, lead, words string) {
	in := min(utf8.RuneCountInString(lead), 12)
	column := utf8.RuneCountInString(lead)
	b.WriteString(lead)
	for i, w := range strings.Fields(words) {
		n := utf8.RuneCountInString(w)
		switch {
		case i > 0 && column+1+n > width:
			b.WriteString("\n" + strings.Repeat(" ", in))
			column = in
		case i > 0:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(w)
		column += n
	}
	b.WriteByte('\n')
}

// table writes a table with its columns lined up.
func table(b *bytes.Buffer, t *lab.Table) {
	wrap(b, "", t.Says)
	rows := append([][]string{t.Head}, t.Rows...)
	wide := make([]int, len(t.Head))
	for _, r := range rows {
		for i, cell := range r {
			wide[i] = max(wide[i], utf8.RuneCountInString(cell))
		}
	}
	for _, r := range rows {
		for i, cell := range r {
			b.WriteString("  " + cell)
			if i+1 < len(r) {
				b.WriteString(strings.Repeat(" ", wide[i]-utf8.RuneCountInString(cell)))
			}
		}
		b.WriteByte('\n')
	}
}

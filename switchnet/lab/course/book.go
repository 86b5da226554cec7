package course

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// A Row is a line of the mark book: what a student got for a question, or why nothing could
// be marked.
type Row struct {
	Student string
	// Digest is of the answers that were marked, so that a form that was changed since is
	// marked again.
	Digest   string
	Question int // 0 where nothing could be marked
	Task     string
	Points   int
	Of       int
	// Lost are the fields that lost points, with why, in the order of the sheet.
	Lost []string
	// Moves and Dangers are of the practice log, -1 where there is none.
	Moves, Dangers int
	Problem        string
}

// A Book is a mark book: rows by student in the order of the class, questions in theirs.
type Book struct{ Rows []Row }

// Digest returns the digest of what a student handed in.
func Digest(parts ...[]byte) string {
	h := sha256.New()
	for _, p := range parts {
		fmt.Fprintf(h, "%d\n", len(p))
		h.Write(p)
	}
	return hex.EncodeToString(h.Sum(nil)[:8])
}

// Has reports whether the book has a student's answers with that digest.
func (b *Book) Has(student, digest string) bool {
	return slices.ContainsFunc(b.Rows, func(r Row) bool { return r.Student == student && r.Digest == digest })
}

// Put takes a student's rows in the place of those that there were, and puts the book in the
// order of the class; students who are not of the class come last, as they stood.
func (b *Book) Put(class []Student, rows ...Row) {
	if len(rows) == 0 {
		return
	}
	who := rows[0].Student
	b.Rows = slices.DeleteFunc(b.Rows, func(r Row) bool { return r.Student == who })
	b.Rows = append(b.Rows, rows...)
	at := func(r Row) int {
		if i := slices.IndexFunc(class, func(s Student) bool { return s.String() == r.Student }); i >= 0 {
			return i
		}
		return len(class)
	}
	slices.SortStableFunc(b.Rows, func(x, y Row) int { return at(x) - at(y) })
}

func heading() []string {
	return []string{"student", "question", "task", "marks", "of", "moves", "dangers", "lost", "problem", "answers"}
}

// CSV returns the book as a CSV file that a spreadsheet opens; what a formula could begin
// with stands behind a quote mark, after a semicolon too, for where commas are for decimals
// spreadsheets take that for the end of a cell, and a student chooses what is quoted here.
func (b *Book) CSV() ([]byte, error) {
	var out bytes.Buffer
	out.WriteString("\ufeff") // by which spreadsheets know UTF-8
	w := csv.NewWriter(&out)
	if err := w.Write(heading()); err != nil {
		return nil, err
	}
	for _, r := range b.Rows {
		record := []string{r.Student, "", r.Task, "", "", "", "", strings.Join(r.Lost, "\n"), r.Problem, r.Digest}
		if r.Question > 0 {
			record[1], record[3], record[4] = strconv.Itoa(r.Question), strconv.Itoa(r.Points), strconv.Itoa(r.Of)
			if r.Moves >= 0 {
				record[5], record[6] = strconv.Itoa(r.Moves), strconv.Itoa(r.Dangers)
			}
		}
		for i, cell := range record {
			record[i] = harmless(cell)
			if i > 0 { // a name with such a thing is refused where it is read
				record[i] = afterSemicolon().ReplaceAllString(record[i], "$1'$2")
			}
		}
		if err := w.Write(record); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return out.Bytes(), w.Error()
}

var afterSemicolon = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(;[\s"]*)([=+\-@＝＋－＠−])`)
})

// harmless puts a quote mark before what a spreadsheet would take for a formula, and before
// a quote mark, so that it can be taken off again.
func harmless(cell string) string {
	if cell != "" && strings.ContainsRune("=+-@\t\r'", rune(cell[0])) {
		return "'" + cell
	}
	return cell
}

// ParseBook reads what CSV writes.
func ParseBook(name string, src []byte) (*Book, error) {
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(src, []byte("\ufeff"))))
	r.FieldsPerRecord = len(heading())
	b := &Book{}
	for first := true; ; first = false {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return b, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%s: this is no mark book: %w", name, err)
		}
		if first {
			if !slices.Equal(record, heading()) {
				return nil, fmt.Errorf("%s:1:1: this is no mark book: its first line has other columns", name)
			}
			continue
		}
		for i, cell := range record {
			record[i] = strings.TrimPrefix(cell, "'")
		}
		row := Row{Student: record[0], Task: record[2], Problem: record[8], Digest: record[9], Moves: -1, Dangers: -1}
		if record[7] != "" {
			row.Lost = strings.Split(record[7], "\n")
		}
		line, _ := r.FieldPos(0)
		for _, f := range []struct {
			column int
			to     *int
		}{{1, &row.Question}, {3, &row.Points}, {4, &row.Of}, {5, &row.Moves}, {6, &row.Dangers}} {
			if record[f.column] == "" {
				continue
			}
			if *f.to, err = strconv.Atoi(record[f.column]); err != nil {
				return nil, fmt.Errorf("%s:%d:1: %q is no number", name, line, record[f.column])
			}
		}
		b.Rows = append(b.Rows, row)
	}
}

// Losses returns for what marks were lost in a book, whatever the field: what a class
// confused. What most students lost marks for comes first, of equals what was lost most
// often, and of those what stands first.
func (b *Book) Losses() []Loss {
	var out []Loss
	for _, r := range b.Rows {
		for _, l := range r.Lost {
			// The fields of two papers have nothing in common but their names.
			if field, why, ok := strings.Cut(l, ": "); ok && !strings.Contains(field, " ") {
				l = why
			}
			// What comes of the whole answer is another in each paper.
			if why, _, ok := strings.Cut(l, " As you have it: "); ok {
				l = why
			}
			i := slices.IndexFunc(out, func(o Loss) bool { return o.Question == r.Question && o.Says == l })
			if i < 0 {
				i = len(out)
				out = append(out, Loss{Question: r.Question, Task: r.Task, Says: l})
			}
			out[i].Times++
			if !slices.Contains(out[i].Students, r.Student) {
				out[i].Students = append(out[i].Students, r.Student)
			}
		}
	}
	slices.SortStableFunc(out, func(x, y Loss) int {
		return cmp.Or(len(y.Students)-len(x.Students), y.Times-x.Times)
	})
	return out
}

// A Loss is one reason for which marks were lost, and by whom.
type Loss struct {
	Question int
	Task     string
	Says     string
	Students []string
	// Times is how often, one student's fields counted each.
	Times int
}

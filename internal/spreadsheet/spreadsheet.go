// Package spreadsheet writes tables that open cleanly in a spreadsheet: comma-
// separated values as RFC 4180 has them, lines ended by CR LF, in UTF-8 with a byte-
// order mark, by which spreadsheets know it.
//
// A spreadsheet takes a cell that begins with =, +, - or @ for a formula, and some
// take "12/2" for a day in December. What is written as [Text] stays text:
//
//   - Before =, +, -, @ and their full-width forms goes an apostrophe where they begin
//     a cell, or follow a semicolon in it, which some take for the end of the cell;
//     blanks and invisible characters before them do not hide them.
//   - A cell that would be read as a number, a day or a time (digits with signs
//     between, "007", "1e5", "3-1") begins with an apostrophe; a plain whole number
//     that is read as what it is does not.
//   - Control characters, line breaks and tabs among them, become blanks, and what is
//     no UTF-8 the replacement character.
//   - A cell holds at most [MaxCell] UTF-16 units; a longer text is cut and ends in
//     three dots.
//
// The apostrophe stays visible in some spreadsheets. Programs that read the table
// will rather read the JSON that is written beside it.
package spreadsheet

import (
	"encoding/csv"
	"io"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// MaxCell is the most UTF-16 units that the common spreadsheets hold in a cell.
const MaxCell = 32767

// A Cell is one cell of a table: [Text] or a [Number]. The zero Cell is empty.
type Cell struct{ content string }

// Text returns a cell that is read as text.
func Text(s string) Cell {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
	s = disarm(s)
	if numeric(s) {
		s = "'" + s
	}
	return Cell{cut(s)}
}

// Number returns a cell that is read as a number, from its decimal text with a point
// as it is printed, such as "12.5". Any other text becomes [Text].
func Number(s string) Cell {
	whole, fraction, point := strings.Cut(s, ".")
	if !digits(whole) || point && !digits(fraction) {
		return Text(s)
	}
	return Cell{s}
}

// disarm puts an apostrophe before what would begin a formula.
func disarm(s string) string {
	if !strings.ContainsAny(s, "=+-@＝＋－＠−") {
		return s
	}
	var b strings.Builder
	start := true
	for _, r := range s {
		switch {
		case strings.ContainsRune("=+-@＝＋－＠−", r) && start:
			b.WriteByte('\'')
			start = false
		case r == ';':
			start = true
		case unicode.IsSpace(r), unicode.Is(unicode.Cf, r), r == '"':
			// hides nothing
		default:
			start = false
		}
		b.WriteRune(r)
	}
	return b.String()
}

// numeric reports whether a spreadsheet may take a text for a number, a day or a time
// that is not written so again.
func numeric(s string) bool {
	s = strings.TrimFunc(s, func(r rune) bool { return unicode.IsSpace(r) || unicode.Is(unicode.Cf, r) })
	if s == "0" || digits(s) && s[0] != '0' && len(s) <= 15 {
		return false
	}
	found := false
	for _, r := range s {
		switch {
		case r >= '0' && r <= '9':
			found = true
		case !strings.ContainsRune(" .,:/-+eE%$()'", r) && !unicode.Is(unicode.Sc, r):
			return false
		}
	}
	return found && s[0] != '\''
}

func digits(s string) bool {
	for _, r := range s {
		if r < '0' || r > '9' {
			return false
		}
	}
	return s != ""
}

// cut shortens a text to what a cell holds.
func cut(s string) string {
	if len(s) <= MaxCell {
		return s // no text has more units than bytes
	}
	const end = "..."
	units := 0
	for i, r := range s {
		n := utf16.RuneLen(r)
		if units+n > MaxCell-len(end) && !fits(s[i:], MaxCell-units) {
			return s[:i] + end
		}
		units += n
	}
	return s
}

// fits reports whether a text has at most n UTF-16 units.
func fits(s string, n int) bool {
	if utf8.RuneCountInString(s) > n {
		return false
	}
	for _, r := range s {
		n -= utf16.RuneLen(r)
	}
	return n >= 0
}

// A Writer writes the rows of a table. The first error stays and is returned by
// Flush.
type Writer struct {
	csv *csv.Writer
	row []string
	err error
}

// NewWriter begins a table.
func NewWriter(w io.Writer) *Writer {
	_, err := io.WriteString(w, "\uFEFF")
	c := csv.NewWriter(w)
	c.UseCRLF = true
	return &Writer{csv: c, err: err}
}

// Row writes a row.
func (w *Writer) Row(cells ...Cell) {
	if w.err != nil {
		return
	}
	w.row = w.row[:0]
	for _, c := range cells {
		w.row = append(w.row, c.content)
	}
	w.err = w.csv.Write(w.row)
}

// Flush writes out what is held back and returns the first error there was.
func (w *Writer) Flush() error {
	if w.err == nil {
		w.csv.Flush()
		w.err = w.csv.Error()
	}
	return w.err
}

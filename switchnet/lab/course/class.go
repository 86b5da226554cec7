package course

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/switchleg/internal/strict"
)

// A Student is a line of a class list.
type Student struct {
	Name string
	// ID tells students of one name apart; often empty.
	ID string
}

// String returns the name, with the ID if there is one.
func (s Student) String() string {
	if s.ID == "" {
		return s.Name
	}
	return s.Name + " (" + s.ID + ")"
}

// maxList is how large a class list may be, in bytes.
const maxList = 1 << 20

// maxName is how long a name may be, in runes.
const maxName = 100

// ParseClass reads a class list: comma-separated values (RFC 4180), or with semicolons
// or tabs between; a first line that names the columns, one of them "name" and one, if
// need be, "id"; then a line for each student, in the order in which they sit. Other
// columns and blank lines are passed over. A byte-order mark is accepted. Names and ids
// that a spreadsheet takes for a formula, with control or invisible characters, and the
// same name and id twice, are errors. The error is an *Errors with all that is wrong.
func ParseClass(name string, src []byte) ([]Student, error) {
	e := &Errors{File: name}
	report := func(line, col int, found, expected, fix string) {
		if len(e.List) >= strict.DefaultMaxProblems {
			e.More++
			return
		}
		e.List = append(e.List, strict.Problem{File: name, Pos: strict.Pos{Line: line, Column: col}, Found: found, Expected: expected, Fix: fix})
	}
	switch {
	case len(src) > maxList:
		report(1, 1, fmt.Sprintf("the list has %d bytes", len(src)), fmt.Sprintf("%d at most", maxList), "is it another file?")
	case bytes.HasPrefix(src, []byte{0xff, 0xfe}), bytes.HasPrefix(src, []byte{0xfe, 0xff}):
		report(1, 1, "the list is in UTF-16", "UTF-8", "save it as CSV UTF-8")
	case !utf8.Valid(src):
		report(1+bytes.Count(src[:invalidAt(src)], []byte("\n")), 1, "there is a letter that is no UTF-8", "UTF-8", "save it as CSV UTF-8")
	}
	if len(e.List) > 0 {
		return nil, e
	}
	src = bytes.TrimPrefix(src, []byte("\ufeff"))
	r := csv.NewReader(bytes.NewReader(src))
	r.FieldsPerRecord, r.Comma, r.ReuseRecord = -1, separator(src), true
	nameAt, idAt, headed := -1, -1, false
	var class []Student
	seen := map[Student]int{}
	for {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			report(bad.Line, bad.Column, "this is no line of comma-separated values: "+bad.Err.Error(), "", "put a name with a comma or a quotation mark in it between quotation marks, and double those in it")
			break // what follows may stand within the quotation
		}
		if err != nil {
			return nil, err
		}
		if strings.TrimSpace(strings.Join(row, "")) == "" {
			continue
		}
		at := func(k int) (int, int) { line, col := r.FieldPos(k); return line, col }
		if !headed {
			headed = true
			for k, c := range row {
				into := map[string]*int{"name": &nameAt, "id": &idAt}[strings.ToLower(strings.TrimSpace(c))]
				if into == nil {
					continue
				}
				line, col := at(k)
				if *into >= 0 {
					report(line, col, fmt.Sprintf("two columns are called %q", short(c)), "", "give one another name")
				}
				*into = k
			}
			if nameAt < 0 {
				report(1, 1, "no column is called name", "a first line such as: name,id", "write it above the first student")
				break
			}
			continue
		}
		var s Student
		ok := true
		for _, c := range []struct {
			k    int
			into *string
			what string
		}{{nameAt, &s.Name, "name"}, {idAt, &s.ID, "id"}} {
			if c.k < 0 || c.k >= len(row) {
				continue
			}
			*c.into = strings.TrimSpace(row[c.k])
			if *c.into == "" {
				continue
			}
			line, col := at(c.k)
			if err := plainText(*c.into, maxName); err != nil {
				ok = false
				report(line, col, fmt.Sprintf("the %s %q cannot be used: %s", c.what, short(*c.into), err), "", "write it without")
			} else if formula(*c.into) {
				ok = false
				report(line, col, fmt.Sprintf("a spreadsheet takes the %s %q for a formula", c.what, short(*c.into)), "", "write it so that it, and what follows a semicolon, begins with a letter or a digit")
			}
		}
		line, col := at(0)
		switch first, again := seen[s]; {
		case !ok:
		case s.Name == "":
			report(line, col, "the line has no name", "", "write one, or delete the line")
		case again:
			report(line, col, fmt.Sprintf("%s stands in line %d already", s, first), "", "delete one, or tell them apart by a column id")
		case len(class) == MaxStudents:
			report(line, col, fmt.Sprintf("more than %d students", MaxStudents), "", "make two lists")
		default:
			seen[s] = line
			class = append(class, s)
		}
	}
	if len(e.List) == 0 && len(class) == 0 {
		report(1, 1, "the list has no student", "a line that says name, and one for each student", "write them")
	}
	if len(e.List) > 0 {
		return nil, e
	}
	return class, nil
}

// formula reports whether a spreadsheet takes a text for a formula, or a part of it after a
// semicolon, which some take for the end of a cell.
func formula(s string) bool {
	for part := range strings.SplitSeq(s, ";") {
		part = strings.TrimLeft(part, ` "`)
		if r, _ := utf8.DecodeRuneInString(part); part != "" && strings.ContainsRune("=+-@＝＋－＠−", r) {
			return true
		}
	}
	return false
}

// separator returns what stands between the columns of the first line that is not blank.
func separator(src []byte) rune {
	head, _, _ := bytes.Cut(bytes.TrimLeft(src, "\r\n \t"), []byte("\n"))
	for _, c := range ",;\t" {
		if bytes.ContainsRune(head, c) {
			return c
		}
	}
	return ','
}

func invalidAt(src []byte) int {
	for i := 0; i < len(src); {
		r, n := utf8.DecodeRune(src[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return len(src)
}

// plainText refuses what has no place in a line of text.
func plainText(s string, most int) error {
	switch {
	case strings.TrimSpace(s) == "":
		return errors.New("it is empty")
	case utf8.RuneCountInString(s) > most:
		return fmt.Errorf("it has more than %d letters", most)
	}
	for _, r := range s {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || r == '\u2028' || r == '\u2029' {
			return fmt.Errorf("it has the character %U in it, which cannot be seen", r)
		}
	}
	return nil
}

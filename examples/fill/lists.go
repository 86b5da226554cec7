package main

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor"
)

// entry is one entry of a list: 14x3.
type entry struct {
	size  conductor.Size
	count int
}

// list reads sizes and counts such as "14x4,12x2".
func (r *reader) list(name, text string) []entry {
	var entries []entry
	for _, part := range split(text) {
		entries = append(entries, parse(r, name, part, parseEntry))
	}
	return entries
}

func parseEntry(text string) (entry, error) {
	i := strings.LastIndexByte(text, 'x')
	if i < 0 {
		return entry{}, fmt.Errorf("%q: write size x count, as in 14x3", text)
	}
	size, err := parseSize(text[:i])
	if err != nil {
		return entry{}, err
	}
	n, ok := count(text[i+1:])
	if !ok {
		return entry{}, fmt.Errorf("%q: the count is a whole number, as in 14x3", text)
	}
	return entry{size, n}, nil
}

// parseSize reads a size with its unit, or a bare gauge number.
func parseSize(text string) (conductor.Size, error) {
	text = strings.TrimSpace(text)
	if !strings.ContainsFunc(text, unicode.IsLetter) {
		text += " AWG"
	}
	return conductor.ParseSize(text)
}

// smaller reads sizes that may stand in for others: "12=14,10=12".
func (r *reader) smaller(text string) []boxfill.Substitution {
	var list []boxfill.Substitution
	for _, part := range split(text) {
		list = append(list, parse(r, "smaller", part, func(text string) (s boxfill.Substitution, err error) {
			from, to, ok := strings.Cut(text, "=")
			if !ok {
				return s, fmt.Errorf("%q: write the size there is = the size that may stand in for it, as in 12=14", text)
			}
			if s.From, err = parseSize(from); err == nil {
				s.To, err = parseSize(to)
			}
			return s, err
		}))
	}
	return list
}

// parseShare reads "1 of 2".
func parseShare(text string) (boxfill.Share, error) {
	parts, whole, ok := strings.Cut(text, " of ")
	p, okParts := count(parts)
	w, okWhole := count(whole)
	if !ok || !okParts || !okWhole {
		return boxfill.Share{}, fmt.Errorf("%q: write parts of the whole, as in \"1 of 2\"", text)
	}
	return boxfill.Share{Parts: p, Whole: w}, nil
}

// parse reads one value of a list, where an empty one is wrong too.
func parse[T any](r *reader, name, text string, read func(string) (T, error)) T {
	v, err := read(text)
	if err != nil {
		r.Add(name, "%v", err)
	}
	return v
}

// split cuts a list at its commas; blanks around entries do not matter.
func split(text string) []string {
	if strings.TrimSpace(text) == "" {
		return nil
	}
	parts := strings.Split(text, ",")
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	return parts
}

// count reads a whole number, which may be negative so that its place is told.
func count(text string) (int, bool) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	return n, err == nil
}

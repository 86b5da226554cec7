package main

import (
	"fmt"
	"strings"

	"example.com/switchleg/boxfill"
)

// note says which flag an entry of a list comes from.
func (r *reader) note(list string, i int, flag string) {
	r.from[fmt.Sprintf("%s[%d]", list, i)] = flag
}

// inFlags puts what is wrong with the contents in the words of the flags.
func (q *question) inFlags(err error) error {
	problems, ok := err.(boxfill.Problems)
	if !ok || q.from == nil {
		return err
	}
	var lines []string
	for _, p := range problems {
		line := "box fill: " + p.Error()
		for path := p.Path; ; {
			if flag := q.from[path]; flag != "" {
				line = "fill: -" + flag + ": " + p.Text
				break
			}
			i := strings.LastIndexByte(path, '.')
			if i < 0 {
				break
			}
			path = path[:i]
		}
		lines = append(lines, line)
	}
	return told{strings.Join(lines, "\n"), err}
}

// told is an error in other words.
type told struct {
	text string
	err  error
}

func (t told) Error() string { return t.text }
func (t told) Unwrap() error { return t.err }

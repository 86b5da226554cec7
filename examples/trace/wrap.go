package main

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// wide is how many columns a line of the talk has at most, where its words allow it.
const wide = 90

// wrap writes a text in lines that are not too wide, the first behind a lead, the others
// under its first word.
func wrap(out io.Writer, lead, text string) {
	hang(out, lead, utf8.RuneCountInString(lead), text)
}

// hang does the same with the others behind so many spaces.
func hang(out io.Writer, lead string, in int, text string) {
	indent := strings.Repeat(" ", in)
	line := lead
	empty := true // no word is on the line
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > wide {
			fmt.Fprintln(out, line)
			line, empty = indent, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	fmt.Fprintln(out, line)
}

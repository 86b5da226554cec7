// Package enum gives the values of enumerations their words: values start at 1, and the
// word of 0, which is unset, is neither written nor read.
package enum

import (
	"fmt"
	"slices"
	"strings"
)

// Word returns the word of a value, and "Kind(9)" for one of the named type that has none.
func Word[E ~uint8](words []string, v E, name string) string {
	if v == 0 || int(v) >= len(words) {
		return fmt.Sprintf("%s(%d)", name, uint8(v))
	}
	return words[v]
}

// Marshal returns the word of a value. One that has none is an error that begins with the
// name of the package: "trace: 9 is no glow".
func Marshal[E ~uint8](pkg string, words []string, v E, what string) ([]byte, error) {
	if v == 0 || int(v) >= len(words) {
		return nil, fmt.Errorf("%s: %d is no %s", pkg, uint8(v), what)
	}
	return []byte(words[v]), nil
}

// Unmarshal reads the word of a value. What is none is an error that lists all words, and
// leaves the value as it is.
func Unmarshal[E ~uint8](pkg string, words []string, text []byte, what string, into *E) error {
	i := slices.Index(words[1:], string(text))
	if i < 0 {
		return fmt.Errorf("%s: %q is no %s; there are: %s", pkg, text, what, strings.Join(words[1:], ", "))
	}
	*into = E(i + 1)
	return nil
}

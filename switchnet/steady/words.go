package steady

import (
	"fmt"
	"slices"
	"strings"
)

// marshalWord returns the word for a value of an enumeration whose zero is unset.
func marshalWord(what string, value uint8, words []string) ([]byte, error) {
	if value < 1 || int(value) >= len(words) {
		return nil, fmt.Errorf("steady: %d is not %s", value, what)
	}
	return []byte(words[value]), nil
}

// readWord returns the value of a word.
func readWord(what string, text []byte, words []string) (uint8, error) {
	i := slices.Index(words[1:], string(text))
	if i < 0 {
		return 0, fmt.Errorf("steady: no %s is called %.40q; there are: %s", what, text, strings.Join(words[1:], ", "))
	}
	return uint8(i + 1), nil
}

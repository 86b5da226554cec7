package switchnet

import (
	"fmt"
	"slices"
	"strings"
)

// Enums travel as words. Their values start at 1; the word of 0 is empty and is
// neither written nor read.

func marshalWord(words []string, v uint8, what string) ([]byte, error) {
	if v < 1 || int(v) >= len(words) {
		return nil, fmt.Errorf("switchnet: there is no %s %d", what, v)
	}
	return []byte(words[v]), nil
}

func unmarshalWord(words []string, text []byte, what string) (uint8, error) {
	if i := slices.Index(words[1:], string(text)); i >= 0 {
		return uint8(i + 1), nil
	}
	return 0, fmt.Errorf("switchnet: %q is no %s; expected %s", text, what, strings.Join(words[1:], ", "))
}

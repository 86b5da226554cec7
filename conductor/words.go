package conductor

import (
	"fmt"
	"strings"
)

// vocabulary is the words of one closed set, the first for value 1. Zero is
// unset in every set and has no word.
type vocabulary struct {
	kind  string // what the words name, for messages
	words []string
	also  map[string]uint8 // further accepted spellings; read only
}

func (v *vocabulary) word(n uint8) string {
	if n == 0 {
		return "unset"
	}
	if int(n) > len(v.words) {
		return fmt.Sprintf("unknown %s %d", v.kind, n)
	}
	return v.words[n-1]
}

func (v *vocabulary) valid(n uint8) bool { return n > 0 && int(n) <= len(v.words) }

func (v *vocabulary) parse(text string) (uint8, error) {
	for i, w := range v.words {
		if w == text {
			return uint8(i + 1), nil
		}
	}
	if n, ok := v.also[text]; ok {
		return n, nil
	}
	return 0, fmt.Errorf("%q is not a %s; write one of %s", clip(text), v.kind, strings.Join(v.words, ", "))
}

func (v *vocabulary) marshal(n uint8) ([]byte, error) {
	if !v.valid(n) {
		return nil, fmt.Errorf("%s %d has no word", v.kind, n)
	}
	return []byte(v.words[n-1]), nil
}

// clip shortens text quoted in a message.
func clip(text string) string {
	const most = 64
	if len(text) > most {
		return strings.ToValidUTF8(text[:most], "") + "..."
	}
	return text
}

package wiring

import (
	"fmt"
	"slices"
	"strings"
)

// words are the words of one closed set, the first for value 1. The value 0 is
// unset and has none.
type words struct {
	kind string // what they name, for messages
	list []string
}

func (w *words) known(n uint8) bool { return n > 0 && int(n) <= len(w.list) }

func (w *words) word(n uint8) string {
	if !w.known(n) {
		return fmt.Sprintf("%s(%d)", w.kind, n)
	}
	return w.list[n-1]
}

func (w *words) text(n uint8) ([]byte, error) {
	if !w.known(n) {
		return nil, fmt.Errorf("wiring: %s has no word", w.word(n))
	}
	return []byte(w.list[n-1]), nil
}

func (w *words) read(text []byte) (uint8, error) {
	if i := slices.Index(w.list, string(text)); i >= 0 {
		return uint8(i + 1), nil
	}
	return 0, fmt.Errorf("wiring: %q is no %s; expected %s", text, w.kind, strings.Join(w.list, ", "))
}

var (
	boxWords      = words{"BoxKind", []string{"device", "ceiling", "junction", "panel"}}
	clampWords    = words{"ClampKind", []string{"internal", "external", "none"}}
	useWords      = words{"EndUse", []string{"landed", "spliced", "capped", "hanging"}}
	functionWords = words{"FunctionKind", []string{"hot", "neutral", "ground", "switch leg", "switched return",
		"traveler", "spare", "loose", "crossed", "series", "unknown"}}
)

// String returns the word: "device", "ceiling", "junction" or "panel".
func (k BoxKind) String() string { return boxWords.word(uint8(k)) }

// MarshalText writes the word; a kind that has none is an error.
func (k BoxKind) MarshalText() ([]byte, error) { return boxWords.text(uint8(k)) }

// UnmarshalText reads the word.
func (k *BoxKind) UnmarshalText(text []byte) error {
	n, err := boxWords.read(text)
	if err == nil {
		*k = BoxKind(n)
	}
	return err
}

// String returns the word: "internal", "external" or "none".
func (k ClampKind) String() string { return clampWords.word(uint8(k)) }

// MarshalText writes the word; a kind that has none is an error.
func (k ClampKind) MarshalText() ([]byte, error) { return clampWords.text(uint8(k)) }

// UnmarshalText reads the word.
func (k *ClampKind) UnmarshalText(text []byte) error {
	n, err := clampWords.read(text)
	if err == nil {
		*k = ClampKind(n)
	}
	return err
}

// String returns the word: "landed", "spliced", "capped" or "hanging".
func (u EndUse) String() string { return useWords.word(uint8(u)) }

// MarshalText writes the word; a use that has none is an error.
func (u EndUse) MarshalText() ([]byte, error) { return useWords.text(uint8(u)) }

// UnmarshalText reads the word.
func (u *EndUse) UnmarshalText(text []byte) error {
	n, err := useWords.read(text)
	if err == nil {
		*u = EndUse(n)
	}
	return err
}

// String returns the word: "hot", "switch leg" and so on.
func (k FunctionKind) String() string { return functionWords.word(uint8(k)) }

// MarshalText writes the word; a function that has none is an error.
func (k FunctionKind) MarshalText() ([]byte, error) { return functionWords.text(uint8(k)) }

// UnmarshalText reads the word.
func (k *FunctionKind) UnmarshalText(text []byte) error {
	n, err := functionWords.read(text)
	if err == nil {
		*k = FunctionKind(n)
	}
	return err
}

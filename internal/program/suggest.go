package program

import (
	"strings"

	"example.com/switchleg/internal/strict"
)

// Suggest returns the word that was probably meant by one that is none of those known,
// as job files suggest keys; "" when none is near.
func Suggest(word string, known []string) string {
	return strict.Suggest(strings.ToLower(word), known)
}

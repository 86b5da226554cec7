package strict

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// Suggest returns the candidate nearest to word: at most two letters wrong,
// missing, added or exchanged with their neighbour, fewer than the word has.
// Between equally near ones the first wins; "" when none is near.
func Suggest(word string, candidates []string) string {
	const most, longest = 2, 64
	n := utf8.RuneCountInString(word)
	if n > longest {
		return ""
	}
	best, bestDist := "", most+1
	for _, c := range candidates {
		m := utf8.RuneCountInString(c)
		if m > longest || m-n > most || n-m > most {
			continue
		}
		if d := distance(word, c); d < bestDist && d < n && d < m {
			best, bestDist = c, d
		}
	}
	return best
}

// distance is the optimal string alignment distance: insertions, deletions,
// substitutions and exchanges of neighbours, letter case ignored.
func distance(a, b string) int {
	x, y := []rune(strings.ToLower(a)), []rune(strings.ToLower(b))
	before, prev, cur := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(x); i++ {
		cur[0] = i
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				cur[j] = min(cur[j], before[j-2]+1)
			}
		}
		before, prev, cur = prev, cur, before
	}
	return prev[len(y)]
}

// quote returns text in double quotes for a message, cut when long.
func quote(text string) string {
	const most = 60
	if utf8.RuneCountInString(text) > most {
		text = string([]rune(text)[:most]) + "…"
	}
	return strconv.Quote(text)
}

// oneOf returns words as 'a, b or c'.
func oneOf(words []string) string {
	switch len(words) {
	case 0:
		return "nothing"
	case 1:
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

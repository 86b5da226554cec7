package draw

import (
	"strings"
	"unicode"
)

// The sizes of text, in px. Nothing is smaller than small: 11 px are 8.25 points
// on paper.
const (
	small  = 11
	normal = 12
	large  = 14
)

// leading is the distance of two lines of normal or small text.
const leading = 15

// regular and heavy are the advance widths of ASCII from the space on, in 1/100 em,
// each the widest of the open sans-serif families that systems fall back on (DejaVu
// Sans, Liberation Sans, which has the widths of the commonest families of all, and
// Noto Sans), rounded up. Whatever family a reader has, text comes out no wider.
var (
	regular = [...]uint8{32, 41, 46, 84, 64, 96, 78, 28, 40, 40, 56, 84, 32, 37, 32, 38, 64, 64, 64, 64, 64, 64, 64, 64, 64, 64, 34, 34, 84, 84, 84, 56,
		102, 69, 69, 73, 78, 67, 62, 78, 76, 34, 50, 67, 56, 91, 76, 79, 67, 79, 73, 67, 62, 74, 69, 99, 69, 67, 69, 40, 38, 40, 84, 56,
		50, 62, 64, 55, 64, 62, 36, 64, 64, 28, 28, 58, 28, 98, 64, 62, 64, 64, 42, 53, 40, 64, 60, 82, 60, 60, 53, 64, 56, 64, 84}
	heavy = [...]uint8{35, 46, 53, 84, 70, 101, 88, 31, 46, 46, 55, 84, 38, 42, 38, 42, 70, 70, 70, 70, 70, 70, 70, 70, 70, 70, 40, 40, 84, 84, 84, 62,
		100, 78, 77, 74, 84, 69, 69, 83, 84, 39, 56, 78, 64, 100, 84, 86, 74, 86, 78, 73, 69, 82, 78, 111, 78, 73, 73, 46, 42, 46, 84, 56,
		50, 68, 72, 60, 72, 68, 44, 72, 72, 35, 35, 67, 35, 105, 72, 69, 72, 72, 50, 60, 48, 72, 66, 93, 65, 66, 59, 72, 56, 72, 84}
)

// advance returns the width of a rune in 1/100 em. Beyond ASCII it is a bound for
// the block the rune stands in, and for the few runes known to break it their own.
func advance(r rune, bold bool) int {
	switch {
	case r >= ' ' && r < 0x7f && bold:
		return int(heavy[r-' '])
	case r >= ' ' && r < 0x7f:
		return int(regular[r-' '])
	case r == '…', r == '“', r == '”', r == '–', r == '—', r == '’':
		return 100
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 30
	case r == 0xfdfd:
		return 1300
	case r >= 0xfb50 && r <= 0xfdff, r >= 0x12000 && r <= 0x1254f, r == 0x2e3b:
		return 600
	case r >= 0x0900 && r <= 0x109f, r >= 0x1700 && r <= 0x1aff, r >= 0xa980 && r <= 0xaaff, r == 0x2031, r == 0x2e3a:
		return 250
	case r >= 0x2e80 && r <= 0xa4cf, r >= 0xac00 && r <= 0xd7a3, r >= 0xf900 && r <= 0xfaff, r >= 0xff00 && r <= 0xffef:
		return 110
	case r < 0x2000 && bold:
		return 142
	case r < 0x2000:
		return 124
	}
	return 160
}

// textWidth returns no less than the width of a text in px, rounded up.
func textWidth(text string, size int, bold bool) int {
	w := 0
	for _, r := range text {
		w += advance(r, bold)
	}
	return (w*size + 99) / 100
}

// clean returns a text as a picture may show it: one line, no control characters,
// none of the characters that turn the direction of what follows, and no more than
// three marks on one letter. What is taken away leaves a replacement character, so
// that two names that differ in it do not look the same.
func clean(text string) string {
	var b strings.Builder
	marks := 0
	for _, r := range text {
		switch {
		case r == '\t', r == '\n', r == '\r':
			r = ' '
		case unicode.IsControl(r), r == 0x61c, r == 0x200e, r == 0x200f, r >= 0x2028 && r <= 0x202e, r >= 0x2066 && r <= 0x2069, r == 0xfeff,
			r >= 0xfff9 && r <= 0xfffb, r&0xfffe == 0xfffe:
			r = unicode.ReplacementChar
		}
		if unicode.In(r, unicode.Mn, unicode.Me) {
			if marks++; marks > 3 {
				continue
			}
		} else {
			marks = 0
		}
		b.WriteRune(r)
	}
	return strings.TrimSpace(b.String())
}

// wrap breaks a clean text into lines no wider than width: between words, and within
// a word that is too long for a line. There is at least one line.
func wrap(text string, width, size int, bold bool) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && textWidth(line+" "+word, size, bold) <= width {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for textWidth(word, size, bold) > width {
			head := fit(word, width, size, bold)
			lines = append(lines, head)
			word = word[len(head):]
		}
		line = word
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// fit returns the longest beginning of a word that is no wider than width, and at
// least one rune. It likes to end after a hyphen or the like, if that is not much
// shorter.
func fit(word string, width, size int, bold bool) string {
	w, end, soft := 0, 0, 0
	for i, r := range word {
		w += advance(r, bold)
		if (w*size+99)/100 > width && i > 0 {
			break
		}
		end = i + len(string(r))
		if strings.ContainsRune("-_/.,:", r) {
			soft = end
		}
	}
	if soft*2 > end {
		return word[:soft]
	}
	return word[:end]
}

// clip returns a text of at most n runes, the end of a longer one replaced by an
// ellipsis.
func clip(text string, n int) string {
	k := 0
	for i := range text {
		if k++; k == n {
			if len([]rune(text[i:])) > 1 {
				return text[:i] + "…"
			}
			return text
		}
	}
	return text
}

// isolate keeps right-to-left text from turning what stands beside it on a line: the
// stretch from the first such letter to the last is set apart with the characters
// Unicode has for that (FSI and PDI), unless a left-to-right letter parts it.
func isolate(line string) string {
	var b strings.Builder
	runes := []rune(line)
	for i := 0; i < len(runes); i++ {
		if !rightToLeft(runes[i]) {
			b.WriteRune(runes[i])
			continue
		}
		end := i
		for j := i; j < len(runes) && (rightToLeft(runes[j]) || !unicode.IsLetter(runes[j])); j++ {
			if rightToLeft(runes[j]) || unicode.In(runes[j], unicode.Mn) {
				end = j
			}
		}
		b.WriteRune(0x2068)
		b.WriteString(string(runes[i : end+1]))
		b.WriteRune(0x2069)
		i = end
	}
	return b.String()
}

func rightToLeft(r rune) bool {
	return r >= 0x590 && r <= 0x8ff || r >= 0xfb1d && r <= 0xfdff || r >= 0xfe70 && r <= 0xfefe || r >= 0x10800 && r <= 0x10fff || r >= 0x1e800 && r <= 0x1efff
}

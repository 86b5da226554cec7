package lab

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"example.com/switchleg/switchnet"
)

// pointText returns a terminal as moves name it: box/thing/terminal, "loft/C4/red" or
// "loft/aisle/common", with quotation marks around names that hold more than letters,
// digits, dots, dashes and underscores.
func pointText(t switchnet.Terminal) string {
	return quoteName(t.Place) + "/" + quoteName(t.Device) + "/" + quoteName(t.Name)
}

// refText returns a switch as moves name it: box/switch.
func refText(r switchnet.Ref) string { return quoteName(r.Place) + "/" + quoteName(r.Name) }

func quoteName(s string) string {
	for _, r := range s {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune(".-_", r) {
			return strconv.Quote(s)
		}
	}
	if s == "" {
		return `""`
	}
	return s
}

// words splits a line into its words, each a list of names between slashes. Names may
// be in quotation marks, as Go writes them.
func words(line string) ([][]string, error) {
	var out [][]string
	rest := strings.TrimSpace(line)
	for rest != "" {
		var word []string
		for {
			name, after, err := oneName(rest)
			if err != nil {
				return nil, err
			}
			word = append(word, name)
			rest = after
			if !strings.HasPrefix(rest, "/") {
				break
			}
			rest = rest[1:]
		}
		if rest != "" && !unicode.IsSpace(rune(rest[0])) {
			return nil, fmt.Errorf("a blank is missing before %q", rest)
		}
		out = append(out, word)
		rest = strings.TrimSpace(rest)
	}
	return out, nil
}

func oneName(s string) (name, rest string, err error) {
	if strings.HasPrefix(s, `"`) {
		q, err := strconv.QuotedPrefix(s)
		if err != nil {
			return "", "", fmt.Errorf("a quotation mark is not closed in %q", s)
		}
		name, err := strconv.Unquote(q)
		if err != nil {
			return "", "", fmt.Errorf("%s is no quoted name", q)
		}
		return name, s[len(q):], nil
	}
	end := strings.IndexFunc(s, func(r rune) bool { return unicode.IsSpace(r) || r == '/' || r == '"' })
	if end < 0 {
		end = len(s)
	}
	if end == 0 {
		return "", "", fmt.Errorf("a name is missing before %q", s)
	}
	return s[:end], s[end:], nil
}

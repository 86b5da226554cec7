package course

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"strings"

	"example.com/switchleg/switchnet/lab"
)

// A Secret keys who gets what. Whoever has it can make the key of a paper. It does not
// print itself. The zero Secret is none, and [Make] refuses it.
type Secret struct {
	key [32]byte
	set bool
}

// NewSecret draws a secret from a source of chance: crypto/rand.Reader.
func NewSecret(random io.Reader) (Secret, error) {
	if random == nil {
		return Secret{}, errors.New("course: cannot draw a secret without a source of chance; crypto/rand.Reader is one")
	}
	s := Secret{set: true}
	if _, err := io.ReadFull(random, s.key[:]); err != nil {
		return Secret{}, fmt.Errorf("course: cannot draw a secret: %w", err)
	}
	return s, nil
}

// ParseSecret reads what Text writes. The error does not repeat the text.
func ParseSecret(text []byte) (Secret, error) {
	s := Secret{set: true}
	line := strings.TrimSpace(string(text[:min(len(text), 1000)]))
	b, err := hex.DecodeString(line)
	if err != nil || len(b) != len(s.key) || len(text) > 1000 {
		return Secret{}, errors.New("this is no secret: it is one line of 64 digits and letters from a to f, as the program wrote it")
	}
	copy(s.key[:], b)
	return s, nil
}

// Text returns the secret as one line, for a file that only its owner can read.
func (s Secret) Text() []byte { return []byte(hex.EncodeToString(s.key[:]) + "\n") }

// Format writes that it is a secret, whatever the verb.
func (Secret) Format(f fmt.State, _ rune) { _, _ = io.WriteString(f, "(a secret)") }

// mac returns the keyed digest of words.
func (s Secret) mac(words ...string) []byte {
	h := hmac.New(sha256.New, s.key[:])
	var n [8]byte
	for _, w := range words {
		binary.LittleEndian.PutUint64(n[:], uint64(len(w)))
		h.Write(n[:])
		h.Write([]byte(w))
	}
	return h.Sum(nil)
}

func (s Secret) seed(words ...string) lab.Seed {
	return lab.Seed(binary.LittleEndian.Uint64(s.mac(append([]string{"seed"}, words...)...)))
}

// letters are those of sheet numbers: none that is taken for another or for a digit,
// and no vowel, so that they make no words.
const letters = "BCDFGHJKLMNPQRSTVWXZ"

// lettered writes a digest as n letters, with a dash in the middle.
func lettered(digest []byte, n int) string {
	var b strings.Builder
	for i := range n {
		if i == n/2 {
			b.WriteByte('-')
		}
		// Two bytes a letter, so that no letter is noticeably more frequent.
		b.WriteByte(letters[int(binary.LittleEndian.Uint16(digest[2*i:]))%len(letters)])
	}
	return b.String()
}

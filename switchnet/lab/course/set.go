package course

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.com/switchleg/switchnet/lab"
)

// A Set is the papers of a class. It is immutable and safe for concurrent use.
type Set struct {
	File *File
	// Variants are the different papers.
	Variants []Variant
	// Papers are those of the students, in the order of the class list.
	Papers []Paper
	// Alike says of which variants the base gave no more different ones; empty where all
	// are different.
	Alike []string
}

// A Variant is the exercises of one paper, in the order of the tasks.
type Variant struct {
	// Number is its number, from 1. It is for the instructor alone.
	Number    int
	Exercises []lab.Exercise
}

// A Paper is what one student has to answer.
type Paper struct {
	Student Student
	// Sheet is the number that stands on it, and by which an answer finds it.
	Sheet string
	// Variant is that of the set. It is for the instructor alone.
	Variant *Variant

	file *File
	seat int
}

// tries is how many exercises are made in search of one that no variant before has.
const tries = 20

// Make makes the variants and gives every student one. It is the same for the same
// arguments. Told, unless nil, hears after each exercise how many of all are made. An
// error of a task, such as a *lab.BandError, says of which; a context that ends is one.
func Make(ctx context.Context, f *File, base lab.Base, secret Secret, class []Student, told func(made, of int)) (*Set, error) {
	if !secret.set {
		return nil, errors.New("course: a secret is needed")
	}
	if f == nil || len(class) == 0 {
		return nil, errors.New("course: an exercise file and a class are needed")
	}
	s := &Set{File: f, Variants: make([]Variant, f.Variants)}
	own := strconv.FormatUint(f.Seed, 10)
	var wrong []error
	for i := range s.Variants {
		s.Variants[i].Number = i + 1
	}
	for k, a := range f.Tasks {
		seen := map[string]bool{}
		alike := 0
		for i := range s.Variants {
			x, fresh, err := draw(ctx, a, base, seen, func(try int) lab.Seed {
				return secret.seed(own, strconv.Itoa(k), a.Task.Name(), strconv.Itoa(i), strconv.Itoa(try))
			})
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			if err != nil {
				wrong = append(wrong, fmt.Errorf("%s: task %d: %w", f.Name, k+1, err))
				break
			}
			if !fresh {
				alike++
			}
			s.Variants[i].Exercises = append(s.Variants[i].Exercises, x)
			if told != nil {
				told(k*f.Variants+i+1, len(f.Tasks)*f.Variants)
			}
		}
		if alike > 0 {
			s.Alike = append(s.Alike, fmt.Sprintf("task %d, %s: %d of %d variants are different; the base gave no more in %d draws for each", k+1, a.Task.Name(), f.Variants-alike, f.Variants, tries))
		}
	}
	if err := errors.Join(wrong...); err != nil {
		return nil, err
	}
	digests := make([]string, len(s.Variants))
	for i := range digests {
		for _, x := range s.Variants[i].Exercises {
			digests[i] += digest(x.Sheet())
		}
	}
	for i, v := range seats(secret, own, len(class), f.Row, f.Variants) {
		p := Paper{Student: class[i], Variant: &s.Variants[v], file: f, seat: i}
		p.Sheet = lettered(secret.mac("sheet", own, class[i].Name, class[i].ID, digests[v]), 10)
		s.Papers = append(s.Papers, p)
	}
	return s, nil
}

// draw makes an exercise whose sheet none has that was seen, if one is found.
func draw(ctx context.Context, a Asked, base lab.Base, seen map[string]bool, seed func(try int) lab.Seed) (x lab.Exercise, fresh bool, err error) {
	for try := range tries {
		y, err := a.Task.Make(ctx, base, seed(try), a.Level)
		if err != nil {
			return nil, false, err
		}
		if x == nil {
			x = y
		}
		if d := digest(y.Sheet()); !seen[d] {
			seen[d] = true
			return y, true, nil
		}
	}
	return x, false, nil
}

// digest returns a digest of all that a sheet says.
func digest(s lab.Sheet) string {
	h := sha256.New()
	var n [8]byte
	for where, text := range s.Strings() {
		for _, w := range []string{where, text} {
			binary.LittleEndian.PutUint64(n[:], uint64(len(w)))
			h.Write(n[:])
			h.Write([]byte(w))
		}
	}
	return string(h.Sum(nil))
}

// Stem returns the beginning of the names of the student's files: the place in the class
// list and what of the name is plain letters and digits. No two of a set are the same.
func (p *Paper) Stem() string {
	var b strings.Builder
	for _, r := range strings.ToLower(p.Student.Name) {
		switch {
		case b.Len() >= 40:
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	return strings.TrimRight(fmt.Sprintf("%03d-%s", p.seat+1, b.String()), "-")
}

// evened returns a sheet number as it may be written: in small letters, without its dash.
func evened(sheet string) string {
	return strings.ToUpper(strings.NewReplacer("-", "", " ", "").Replace(sheet[:min(len(sheet), 100)]))
}

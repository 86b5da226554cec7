package draw

// key is an entry of a legend: the sign for one sort of pin, and what it stands for.
type key struct {
	kind blockKind
	says string
}

// keys are the signs that a picture of a box has, in the order of the kinds.
func (s *boxSheet) keys() []key {
	has := map[blockKind]bool{}
	for _, b := range s.blocks {
		if len(b.rows) > 0 {
			has[b.kind] = true
		}
	}
	var out []key
	for _, k := range []key{{splice, "spliced"}, {device, "a screw or lead"}, {capped, "under a cap"}, {loose, "loose"}} {
		if has[k.kind] {
			out = append(out, k)
		}
	}
	return out
}

// framed says what stands beside the conductors, where some have tags.
func (s *boxSheet) framed() string {
	for i := range s.ends {
		if s.ends[i].tag != "" {
			return "Framed: the tag on that end. Without a frame: what an end is that has no tag. Names such as C1.black: cable and colour."
		}
	}
	return "Beside a conductor: what it is. Names such as C1.black: cable and colour."
}

// legend writes what the signs stand for, its first line below the height y.
func (l *boxLayout) legend(x, y, room int) {
	at := point{x, y}
	for _, k := range l.s.keys() {
		w := 14 + textWidth(k.says, small, false)
		if at.x > x && at.x+w > x+room {
			at = point{x, at.y + leading}
		}
		l.pin(k.kind, at.x+4, at.y-4)
		l.text(point{at.x + 14, at.y}, start, k.says, small, false, muted)
		at.x += w + 16
	}
	if len(l.s.ends) > 0 {
		l.lines(x, at.y+leading, start, wrap(l.s.framed(), room, small, false), small, false, muted)
	}
}

package strict

import "slices"

// Merge returns base with over laid upon it, leaving both as they are: maps
// are joined key by key, in the order of base and then of over; anything else
// in over takes the place of what base has. An entry whose value in over is
// the plain word in remove is left out; if base has no such entry, that is
// reported at over's key, with the keys there are. Every node keeps its place
// in its own file, so that a reader's complaint points where the text is.
//
// The two may come from different documents, and both must then be asked for
// errors. Base nil or of another kind yields over.
func Merge(base, over *Node, remove string) *Node {
	if base.Kind() != KindMap || over.Kind() != KindMap || base.bad || over.bad {
		return over
	}
	m := *base
	m.entries = make([]Entry, 0, len(base.entries)+len(over.entries))
	at := make(map[string]int, len(base.entries))
	for _, e := range base.entries {
		at[e.Key.text] = len(m.entries)
		m.entries = append(m.entries, e)
	}
	removed := false
	for _, e := range over.entries {
		i, there := at[e.Key.text]
		gone := e.Value.kind == KindScalar && e.Value.style == plain && e.Value.text == remove && remove != ""
		switch {
		case gone && there:
			m.entries[i].Value = nil
			removed = true
		case gone:
			known := make([]string, len(base.entries))
			for j, b := range base.entries {
				known[j] = b.Key.text
			}
			e.Key.Report(Report{Found: "there is no " + quote(e.Key.text) + " to take out", Expected: oneOf(known), Fix: DidYouMean(e.Key.text, known)})
		case there:
			m.entries[i] = Entry{e.Key, Merge(m.entries[i].Value, e.Value, remove)}
		default:
			at[e.Key.text] = len(m.entries)
			m.entries = append(m.entries, e)
		}
	}
	if removed {
		kept := m.entries[:0]
		for _, e := range m.entries {
			if e.Value != nil {
				kept = append(kept, e)
			}
		}
		m.entries = kept
	}
	return &m
}

// Without returns a map without the entries of some keys, leaving n as it is;
// another node comes back unchanged.
func (n *Node) Without(keys ...string) *Node {
	if n.Kind() != KindMap {
		return n
	}
	m := *n
	m.entries = slices.DeleteFunc(slices.Clone(n.entries), func(e Entry) bool { return slices.Contains(keys, e.Key.text) })
	return &m
}

package trace

// Weight returns how likely a class is.
func (s *Session) Weight(class int) (sum float64) {
	senses := 1 << s.c.f.sp.bits
	for _, w := range s.weight[class*senses : (class+1)*senses] {
		sum += w
	}
	return sum
}

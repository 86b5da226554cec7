package packet_test

import (
	"math"
	"os"
	"regexp"
	"strconv"
	"testing"
)

// Every text is told from its ground at 4.5 to 1 at least, light and dark.
func TestPageContrast(t *testing.T) {
	css, err := os.ReadFile("page.css")
	if err != nil {
		t.Fatal(err)
	}
	themes := regexp.MustCompile(`:root \{([^}]*--paper[^}]*)\}`).FindAllStringSubmatch(string(css), -1)
	if len(themes) != 2 {
		t.Fatalf("%d themes, want light and dark", len(themes))
	}
	for i, theme := range themes {
		light := map[string]float64{}
		for _, m := range regexp.MustCompile(`--(\w+): #([0-9a-f]{6})`).FindAllStringSubmatch(theme[1], -1) {
			light[m[1]] = luminance(m[2])
		}
		for _, ink := range []string{"ink", "muted", "danger"} {
			for _, ground := range []string{"paper", "wash"} {
				a, b := max(light[ink], light[ground]), min(light[ink], light[ground])
				if ratio := (a + .05) / (b + .05); ratio < 4.5 {
					t.Errorf("theme %d: %s on %s has %.2f", i, ink, ground, ratio)
				}
			}
		}
	}
}

// luminance is the relative luminance of WCAG 2.1.
func luminance(hex string) float64 {
	var sum float64
	for i, weight := range []float64{.2126, .7152, .0722} {
		n, _ := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		c := float64(n) / 255
		if c <= .04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

package web

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// rgb is a colour in linear light, each part from 0 to 1.
type rgb [3]float64

// palettes are the colours that the style names: by day, by night and on paper.
func palettes(t *testing.T) [3]map[string]rgb {
	t.Helper()
	all, err := readLoaded()
	if err != nil {
		t.Fatal(err)
	}
	blocks := regexp.MustCompile(`:root \{([^}]*)\}`).FindAllSubmatch(all["style.css"], -1)
	if len(blocks) != 3 {
		t.Fatalf("the style names its colours %d times, not by day, by night and on paper", len(blocks))
	}
	var ps [3]map[string]rgb
	for k, block := range blocks {
		ps[k] = map[string]rgb{}
		for _, c := range regexp.MustCompile(`--([a-z]+): #([0-9a-f]+)`).FindAllSubmatch(block[1], -1) {
			ps[k][string(c[1])] = colour(t, string(c[2]))
		}
	}
	return ps
}

// colour reads "fff" or "f7f4ec" and takes the gamma of sRGB (IEC 61966-2-1) off it.
func colour(t *testing.T, hex string) rgb {
	t.Helper()
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	n, err := strconv.ParseUint(hex, 16, 32)
	if err != nil || len(hex) != 6 {
		t.Fatalf("%q is no colour", hex)
	}
	var c rgb
	for k := range c {
		v := float64(n>>(16-8*k)&255) / 255
		if c[k] = v / 12.92; v > 0.04045 {
			c[k] = math.Pow((v+0.055)/1.055, 2.4)
		}
	}
	return c
}

// contrast is that of WCAG 2.2: 1 to 21.
func contrast(a, b rgb) float64 {
	light := func(c rgb) float64 { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] + 0.05 }
	return max(light(a), light(b)) / min(light(a), light(b))
}

// sight is how somebody sees colours. The matrices are those of Machado, Oliveira and
// Fernandes, "A Physiologically-based Model for Simulation of Color Vision Deficiency",
// IEEE TVCG 15 (2009), doi 10.1109/TVCG.2009.113, at severity 1.0, for linear light; the
// last is a printer without colours.
var sights = []struct {
	name string
	sees [3]rgb
}{
	{"all colours", [3]rgb{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
	{"without red cones", [3]rgb{{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}},
	{"without green cones", [3]rgb{{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}},
	{"without blue cones", [3]rgb{{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}},
	{"without colours", [3]rgb{{0.2126, 0.7152, 0.0722}, {0.2126, 0.7152, 0.0722}, {0.2126, 0.7152, 0.0722}}},
}

func seen(sees [3]rgb, c rgb) rgb {
	var s rgb
	for k := range s {
		s[k] = min(1, max(0, sees[k][0]*c[0]+sees[k][1]*c[1]+sees[k][2]*c[2]))
	}
	return s
}

// pairs are what is written or drawn on what, with the least contrast: 4.5 for text (WCAG
// 2.2, 1.4.3), 3 for what has to be seen to use or understand a page (1.4.11).
var pairs = []struct {
	on, under, what string
	least           float64
}{
	{"ink", "paper", "text", 4.5},
	{"ink", "sheet", "text on cards", 4.5},
	{"ink", "said", "what was just recorded", 4.5},
	{"ink", "band", "letters on a window", 4.5},
	{"soft", "paper", "what is beside the point", 4.5},
	{"soft", "sheet", "hints on cards", 4.5},
	{"link", "paper", "links", 4.5},
	{"link", "sheet", "links on cards", 4.5},
	{"grave", "paper", "grave alerts", 4.5},
	{"grave", "sheet", "problems on cards", 4.5},
	{"act", "paper", "alerts to act on", 4.5},
	{"note", "paper", "alerts to know of", 4.5},
	{"paper", "ink", "buttons", 4.5},
	{"rule", "paper", "edges of fields, courses", 3},
	{"rule", "sheet", "edges of fields on cards", 3},
	{"hatch", "plate", "hatchings", 3},
	{"heavy", "paper", "the driving line", 3},
}

// TestEverybodyCanReadThePalette: each pair keeps its contrast by day, by night and on
// paper, for everybody's sight; and the figures in LOOK.md are those of the style.
func TestEverybodyCanReadThePalette(t *testing.T) {
	ps := palettes(t)
	var table strings.Builder
	table.WriteString("| on | | least | day | night | paper |\n| --- | --- | ---: | ---: | ---: | ---: |\n")
	for _, p := range pairs {
		fmt.Fprintf(&table, "| %s on %s | %s | %.1f |", p.on, p.under, p.what, p.least)
		for k, when := range []string{"by day", "by night", "on paper"} {
			on, ok := ps[k][p.on]
			under, also := ps[k][p.under]
			if !ok || !also {
				t.Fatalf("%s %s, there is no %s or no %s", p.what, when, p.on, p.under)
			}
			fmt.Fprintf(&table, " %.1f |", contrast(on, under))
			for _, s := range sights {
				if c := contrast(seen(s.sees, on), seen(s.sees, under)); c < p.least {
					t.Errorf("%s %s, seen %s: %s on %s has a contrast of %.2f, less than %.1f", p.what, when, s.name, p.on, p.under, c, p.least)
				}
			}
		}
		table.WriteString("\n")
	}
	look, err := os.ReadFile("LOOK.md")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(look), table.String()) {
		t.Errorf("LOOK.md has other figures than the style:\n%s", table.String())
	}
}

// TestTheSightsAreThose: white stays white for everybody, and red and green, of the same
// lightness, come near each other for who lacks the cones.
func TestTheSightsAreThose(t *testing.T) {
	for _, s := range sights {
		for _, v := range seen(s.sees, rgb{1, 1, 1}) {
			if math.Abs(v-1) > 1e-4 {
				t.Errorf("%s: white is seen as %v", s.name, v)
			}
		}
	}
	apart := func(k int) float64 {
		red, green := seen(sights[k].sees, rgb{0.5, 0, 0}), seen(sights[k].sees, rgb{0, 0.15, 0})
		return math.Hypot(math.Hypot(red[0]-green[0], red[1]-green[1]), red[2]-green[2])
	}
	if apart(1) > apart(0)/2 || apart(2) > apart(0)/2 {
		t.Errorf("red and green are %.2f apart, and without cones %.2f and %.2f", apart(0), apart(1), apart(2))
	}
}

// TestNothingIsToldByColourAlone: severities differ by their mark and word, the states of
// layers by their word and by their edge or hatching. Gates and trades are tested where
// they are drawn.
func TestNothingIsToldByColourAlone(t *testing.T) {
	s := newSite(t, demo)
	_, doc := s.get(s.job + "/alerts")
	words := map[string]string{} // by mark
	for _, n := range find(doc, ".sev") {
		mark, word, _ := strings.Cut(strings.TrimSpace(text(n)), " ")
		if known, ok := words[mark]; mark == "" || word == "" || ok && known != word {
			t.Errorf("the mark %q says %q and %q", mark, known, word)
		}
		words[mark] = word
	}
	if len(words) < 2 {
		t.Errorf("the demo shows only these severities: %v", words)
	}
	seenWord := map[string]bool{}
	for _, k := range layerKeys() {
		if k.Word == "" || seenWord[k.Word] {
			t.Errorf("two states of layers are called %q", k.Word)
		}
		seenWord[k.Word] = true
	}
}

// Package nearest finds the known name that a person most likely meant.
package nearest

import "strings"

// Name is the name in the lists that is nearest to want, and false where none is
// near enough to be what was meant. Of equally near ones the first is taken.
// Upper case, blanks and underscores count as slips of no weight.
//
// The measure is the optimal string alignment distance: the least number of
// single letters put in, left out, changed, or swapped with the next one. A name
// may be off by one letter in its first four (a single letter by none), and by one
// more for every four after them, up to three.
func Name[S ~string](want string, lists ...[]S) (S, bool) {
	target := plain(want)
	limit := slack(target)
	best, found := S(""), false
	for _, have := range lists {
		for _, h := range have {
			d := distance(target, plain(string(h)), limit)
			if d > limit {
				continue
			}
			if d == 0 {
				return h, true
			}
			best, found, limit = h, true, d-1
		}
	}
	return best, found
}

var slips = strings.NewReplacer("_", "-", " ", "-")

func plain(s string) string { return slips.Replace(strings.ToLower(s)) }

// slack is how many letters a name of this length may be off.
func slack(s string) int { return min(3, len(s)/2, (len(s)+3)/4) }

// distance is the optimal string alignment distance of a and b, or limit+1 where
// it is greater than limit. It costs len(a)·len(b) steps and three rows.
func distance(a, b string, limit int) int {
	// A letter is at most four bytes: too far apart whatever the letters are.
	if len(a) > 4*(len(b)+limit) || len(b) > 4*(len(a)+limit) {
		return limit + 1
	}
	x, y := []rune(a), []rune(b)
	if len(x)-len(y) > limit || len(y)-len(x) > limit {
		return limit + 1
	}
	before, above, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range above {
		above[j] = j
	}
	for i := 1; i <= len(x); i++ {
		row[0] = i
		least := i
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			row[j] = min(above[j]+1, row[j-1]+1, above[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
			least = min(least, row[j])
		}
		if least > limit {
			return limit + 1
		}
		before, above, row = above, row, before
	}
	return above[len(y)]
}

package published_test

import "testing"

// Each network comes with its source. Figures that the source prints are held
// against the plan; those marked "computed" were computed independently of the
// solver and agree with all that is printed.
func TestPublishedNetworks(t *testing.T) {
	for _, c := range []struct {
		name   string
		finish int
		read   func(*testing.T, string) *table
		text   string
	}{
		// Anderson, Sweeney, Williams, Wisniewski, Pearson: An Introduction to
		// Management Science (Cengage), ch. 9, p. 386, fig. 9.12: 17 weeks, critical
		// A-E-H-I-J. The free floats are computed.
		{"ten activities", 17, parse, `
			A 6 |                                         | 0 6 0 6 0 0
			B 2 |                                         | 0 2 7 9 7 7
			C 3 | finish of A                             | 6 9 10 13 4 0
			D 5 | finish of A                             | 6 11 7 12 1 0
			E 3 | finish of A                             | 6 9 6 9 0 0
			F 2 | finish of C                             | 9 11 13 15 4 4
			G 3 | finish of D                             | 11 14 12 15 1 1
			H 4 | finish of B; finish of E                | 9 13 9 13 0 0
			I 2 | finish of H                             | 13 15 13 15 0 0
			J 2 | finish of F; finish of G; finish of I   | 15 17 15 17 0 0`},

		// Taylor: Introduction to Management Science, solutions to ch. 8, pp. 114-115:
		// activity on arrow, 20 weeks, critical 1-3-4-5-6. The free floats are computed.
		{"six events", 20, arrows, `
			1-2 7  | 0 7 2 9 2 0
			1-3 10 | 0 10 0 10 0 0
			2-4 6  | 7 13 9 15 2 2
			3-4 5  | 10 15 10 15 0 0
			3-5 4  | 10 14 14 18 4 4
			4-5 3  | 15 18 15 18 0 0
			5-6 2  | 18 20 18 20 0 0`},

		// The same solutions: 38 weeks, critical 1-3-5-7-8-9, with the dummy 4-5 of no
		// length. The free floats are computed.
		{"nine events and a dummy", 38, arrows, `
			1-2 8  | 0 8 1 9 1 0
			1-3 10 | 0 10 0 10 0 0
			1-4 9  | 0 9 6 15 6 0
			2-5 6  | 8 14 9 15 1 1
			2-6 4  | 8 12 16 20 8 0
			3-5 5  | 10 15 10 15 0 0
			4-5 0  | 9 9 15 15 6 6
			4-7 7  | 9 16 20 27 11 11
			5-7 12 | 15 27 15 27 0 0
			5-8 15 | 15 30 16 31 1 1
			6-9 18 | 12 30 20 38 8 8
			7-8 4  | 27 31 27 31 0 0
			8-9 7  | 31 38 31 38 0 0`},

		// University slide deck (slideplayer 3283910): 22, critical A-C-F-G-H. The free
		// floats are computed.
		{"eight activities", 22, parse, `
			A 4 |                          | 0 4 0 4 0 0
			B 3 | finish of A              | 4 7 7 10 3 2
			C 5 | finish of A              | 4 9 4 9 0 0
			D 2 | finish of A              | 4 6 7 9 3 3
			E 5 | finish of B; finish of C | 9 14 10 15 1 1
			F 6 | finish of C; finish of D | 9 15 9 15 0 0
			G 4 | finish of E; finish of F | 15 19 15 19 0 0
			H 3 | finish of G              | 19 22 19 22 0 0`},

		// Columbia University, Construction Scheduling (I. Odeh), lecture on
		// relations from start to start: 9 days.
		{"three starts", 9, parse, `
			x 9 |            | 0 9 0 9 0 .
			y 4 | start of x | 0 4 5 9 5 .
			z 2 | start of y | 0 2 7 9 7 .`},

		// The same course, example 3, without waits: 21 days. Earliest dates of all and
		// latest of E to I are printed; total and free floats are computed.
		{"nine activities", 21, parse, `
			A 2 |                          | 0 2 . . 0 .
			B 5 | finish of A              | 2 7 . . 2 0
			C 9 | finish of A              | 2 11 . . 0 .
			D 3 | finish of A              | 2 5 . . 12 6
			E 6 | finish of B              | 7 13 9 15 2 2
			F 4 | finish of B; finish of C | 11 15 11 15 0 .
			G 2 | finish of C; finish of D | 11 13 17 19 6 6
			H 4 | finish of E; finish of F | 15 19 15 19 0 .
			I 2 | finish of G; finish of H | 19 21 19 21 0 .`},

		// The same course, example 2: the input is printed, the figures are computed.
		{"nine activities with waits", 22, parse, `
			A 2 |                                 | 0 2 0 2 0 0
			B 5 | finish of A                     | 2 7 3 8 1 0
			C 9 | finish of A                     | 2 11 2 11 0 0
			D 3 | finish of A wait 4              | 6 9 15 18 9 2
			E 6 | finish of B                     | 7 13 9 15 2 2
			F 4 | finish of B wait 3; finish of C | 11 15 11 15 0 0
			G 2 | finish of C; finish of D        | 11 13 18 20 7 7
			H 4 | finish of E; finish of F        | 15 19 15 19 0 0
			I 2 | finish of G; finish of H wait 1 | 20 22 20 22 0 0`},

		// Open-course module "Network Construction – Critical Path Method / Precedence
		// Diagram Method": length 41 and critical path A-B-F-I-K-L-N are printed; the
		// floats are computed.
		{"fourteen activities", 41, parse, `
			A 2  |                                       | . . . . 0 .
			B 10 | finish of A                           | . . . . 0 .
			C 13 | finish of A                           | . . . . 11 .
			D 12 | finish of A                           | . . . . 2 .
			E 12 | finish of B                           | . . . . 6 .
			F 7  | finish of B                           | . . . . 0 .
			G 10 | finish of D                           | . . . . 2 .
			H 16 | finish of D                           | . . . . 3 .
			I 6  | finish of F                           | . . . . 0 .
			J 12 | finish of C; finish of G              | . . . . 2 .
			K 5  | finish of I                           | . . . . 0 .
			L 8  | finish of E; finish of K              | . . . . 0 .
			M 5  | finish of H                           | . . . . 3 .
			N 3  | finish of J; finish of L; finish of M | . . . . 0 .`},

		// The same module with three relations from start to start and two more from
		// finish to start: the input is printed, the figures are computed. The critical
		// path moves to A-D-H-M-N.
		{"fourteen activities, some start to start", 38, parse, `
			A 2  |                                                    | 0 2 . . 0 .
			B 10 | start of A                                         | 0 10 . . 4 .
			C 13 | finish of A                                        | 2 15 . . 8 .
			D 12 | finish of A                                        | 2 14 . . 0 .
			E 12 | finish of B                                        | 10 22 . . 5 .
			F 7  | finish of B                                        | 10 17 . . 4 .
			G 10 | finish of D                                        | 14 24 . . 9 .
			H 16 | finish of D                                        | 14 30 . . 0 .
			I 6  | finish of F                                        | 17 23 . . 4 .
			J 12 | finish of C; start of G                            | 15 27 . . 8 .
			K 5  | start of I                                         | 17 22 . . 5 .
			L 8  | finish of E; finish of K; finish of I              | 23 31 . . 4 .
			M 5  | finish of H                                        | 30 35 . . 0 .
			N 3  | finish of J; finish of L; finish of M; finish of G | 35 38 . . 0 .`},

		// US Navy, NAVEDTRA 14233, pp. 2-44 and 2-45, fig. 2-13: the dates of 1020 and
		// 1040, the start of 1050, the critical path 1010-1040-1060-1070 and the three
		// days after 1070 are printed. The lengths of 1050 to 1080 are our own; with
		// them the printed latest dates come out.
		{"navy, with a wait", 21, parse, `
			1010 3 |                                | 0 3 0 3 0 0
			1020 7 | finish of 1010                 | 3 10 5 12 2 1
			1040 8 | finish of 1010                 | 3 11 3 11 0 0
			1050 3 | finish of 1020; finish of 1040 | 11 . 12 . . .
			1060 4 | finish of 1040                 | 11 . . . 0 .
			1070 2 | finish of 1050; finish of 1060 | . . . . 0 .
			1080 1 | finish of 1070 wait 3          | . . . . 0 .`},

		// Hendrickson: Project Management for Construction, table of the nine-activity
		// project: the length, 30 days, is printed; floats are computed.
		{"nine-activity site job", 30, parse, `
			A 4  |                          | . . . . 0 .
			B 3  |                          | . . . . 9 9
			C 8  | finish of A              | . . . . 0 .
			D 7  | finish of A              | . . . . 11 10
			E 9  | finish of B; finish of C | . . . . 1 0
			F 12 | finish of B; finish of C | . . . . 0 .
			G 2  | finish of D; finish of E | . . . . 1 1
			H 5  | finish of D; finish of E | . . . . 4 4
			I 6  | finish of F; finish of G | . . . . 0 .`},

		// Own invention, computed independently: no outside evidence, an edge case with
		// relations between all ends.
		{"all ends, own invention", 19, parse, `
			A 5 |                                                | 0 5 0 5 0 0
			B 8 | start of A wait 2; finish of A wait 3 to finish | 2 10 2 10 0 0
			C 6 | finish of B wait 2; start of D wait 1          | 12 18 12 18 0 0
			D 4 | finish of A                                    | 5 9 9 13 4 4
			E 3 | finish of C wait 1 to finish; finish of D wait 3 | 16 19 16 19 0 0`},

		// Course handout on a document-sharing site (no. 458251733): 33, critical
		// A-B-D-G-I. The free floats are from a linear program.
		{"nine activities of a handout", 33, parse, `
			A 3  |                          | 0 3 0 3 0 0
			B 5  | finish of A              | 3 8 3 8 0 0
			C 8  | finish of A              | 3 11 7 15 4 0
			D 10 | finish of B              | 8 18 8 18 0 0
			E 5  | finish of B              | 8 13 17 22 9 5
			F 7  | finish of C              | 11 18 15 22 4 0
			G 12 | finish of D              | 18 30 18 30 0 0
			H 8  | finish of E; finish of F | 18 26 22 30 4 4
			I 3  | finish of G; finish of H | 30 33 30 33 0 0`},

		// Course handout on a study site (no. 8378728): 16, critical A-B-D-E-G.
		{"seven activities of a handout", 16, parse, `
			A 6 |                          | 0 6 0 6 0 .
			B 2 | finish of A              | 6 8 6 8 0 .
			C 2 | finish of A              | 6 8 7 9 1 .
			D 3 | finish of B              | 8 11 8 11 0 .
			E 4 | finish of D; finish of F | 11 15 11 15 0 .
			F 2 | finish of C              | 8 10 9 11 1 .
			G 1 | finish of E              | 15 16 15 16 0 .`},

		// Beasley, OR-Notes, network analysis (1990): event times 0, 2, 3, 2, 10, 10, 19
		// are printed up to event 7; the end, 22, is computed. The arc 5-7 also waits for
		// the arc 3-6, which here is the dummy 6-5.
		{"beasley", 22, arrows, `
			1-2 2 | 0 . . . . .
			1-3 3 | 0 . . . . .
			1-4 2 | 0 . . . . .
			2-5 3 | 2 . . . . .
			3-6 7 | 3 . . . . .
			4-6 5 | 2 . . . . .
			6-5 0 | 10 . . . . .
			5-7 4 | 10 . . . . .
			6-7 9 | 10 . . . . .
			7-8 3 | 19 22 . . . .`},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.read(t, c.text).check(t, c.finish)
		})
	}
}

// Columbia University, Construction Scheduling (I. Odeh), the same three starts with
// waits of 6 and 1: the input is printed, the figures are computed. The start of x
// drives y and has no float while its finish could be a day later; the total float
// is the smaller of the two.
func TestStartFloatIsNotFinishFloat(t *testing.T) {
	tb := parse(t, `
		x 9 |                   | 0 9 0 9 0 .
		y 4 | start of x wait 6 | 6 10 6 10 0 .
		z 2 | start of y wait 1 | 7 9 8 10 1 .`)
	plan := tb.check(t, 10)
	x := plan.FindStep("x")
	if x.StartFloat != 0 || x.FinishFloat != dayMinutes || x.TotalFloat != 0 {
		t.Errorf("x has start float %d, finish float %d and total float %d minutes, want 0, %d and 0",
			x.StartFloat, x.FinishFloat, x.TotalFloat, dayMinutes)
	}
}

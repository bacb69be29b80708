// Package published holds only tests: the solver against the outside world. There
// are networks whose dates and floats were printed in books and courses, each with
// its source beside it; a core of a house job whose dates were computed
// independently; longest paths by another library; and linear programs solved by
// another program. What these tests expect was not computed by the solver.
package published

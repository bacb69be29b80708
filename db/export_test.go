package db

// What tests ask of the inside.
var (
	ArchivedNames = archivedNames
	LeftOut       = leftOut
	Explain       = explain
)

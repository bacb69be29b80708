package office

import "sync"

// Beside is what others have worked out of a sheet, and keep with it: once for each
// sheet, however many ask at the same time.
type Beside struct{ all sync.Map } // by key: func() any

// Once is what was made under a key, which is made now if it was not before. The keys
// of a package are values of a type of its own.
func (b *Beside) Once(key any, make func() any) any {
	made, known := b.all.Load(key)
	if !known {
		made, _ = b.all.LoadOrStore(key, sync.OnceValue(make))
	}
	return made.(func() any)()
}

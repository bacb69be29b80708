package db

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"encoding/json"
	"errors"
	"io"
	"iter"
	"slices"
	"sync"

	"github.com/klauspost/compress/s2"

	"gaugerod/scheduler"
	"gaugerod/scheduler/planfile"
)

// packedByS2 stands before a plan that is packed with S2: blocks follow, each after its
// length. No deflated plan, as they were kept before, begins so: it would be a block of
// the type that RFC 1951 (3.2.3) reserves.
const packedByS2 = 0xff

// blockOf is about how many bytes of text are packed as one block.
const blockOf = 1 << 20

// PackedPlan is a plan with its JSON, packed.
type PackedPlan struct {
	*scheduler.Plan
	packed []byte
}

// Pack writes a plan as packed JSON, to be kept and to be answered with. Postgres would
// take several times as long over the same as jsonb, and the log of its writes would be
// as much longer; deflating takes four times as long as this and gives much the same
// size. One block is packed while the next is written: a plan of 20,000 steps has 40 MB.
func Pack(plan *scheduler.Plan) PackedPlan {
	p := packers.Get().(*packer)
	p.text, p.packed = p.text[:0], append(p.packed[:0], packedByS2)
	if err := planfile.StreamIn(p.piece, p, plan); err != nil {
		panic(err) // a packer takes everything
	}
	p.take()
	p.add(s2.Encode(p.room[:cap(p.room)], p.text))
	packed := slices.Clone(p.packed)
	if cap(p.packed) <= 2*blockOf {
		packers.Put(p)
	}
	return PackedPlan{Plan: plan, packed: packed}
}

// packers and texts are room for packing and unpacking, used again: a busy service packs
// dozens of plans a second, and to clear away what each takes would cost as much as
// packing it. What is in them is written over.
var (
	packers = sync.Pool{New: func() any { return &packer{piece: make([]byte, 0, planfile.Room)} }}
	texts   = sync.Pool{New: func() any { return &[]byte{} }}
)

// packer packs what is written to it.
type packer struct {
	piece  []byte // room for what is written at once
	text   []byte // not packed yet
	spare  []byte // room for the next text while one is packed
	room   []byte // for one packed block
	packed []byte
	block  chan []byte // brings the block that is being packed; nil: there is none
}

func (p *packer) Write(text []byte) (int, error) {
	if p.text = append(p.text, text...); len(p.text) >= blockOf {
		p.hand()
	}
	return len(text), nil
}

// hand has what was written since packed, once the block before is.
func (p *packer) hand() {
	p.take()
	block, text, room := make(chan []byte, 1), p.text, p.room[:cap(p.room)]
	go func() { block <- s2.Encode(room, text) }()
	p.block, p.text, p.spare = block, p.spare[:0], text
}

// take waits for the block that is being packed.
func (p *packer) take() {
	if p.block != nil {
		p.add(<-p.block)
		p.block = nil
	}
}

// add puts a packed block behind the others.
func (p *packer) add(block []byte) {
	p.packed = append(binary.AppendUvarint(p.packed, uint64(len(block))), block...)
	p.room = block
}

// blocks gives the blocks of a packed plan, and an error where it is damaged.
func blocks(packed []byte) iter.Seq2[[]byte, error] {
	return func(yield func([]byte, error) bool) {
		for rest := packed[1:]; len(rest) > 0; {
			n, head := binary.Uvarint(rest)
			if head <= 0 || n > uint64(len(rest)-head) {
				yield(nil, errDamaged)
				return
			}
			if !yield(rest[head:head+int(n)], nil) {
				return
			}
			rest = rest[head+int(n):]
		}
	}
}

// errDamaged says that a kept plan is not what was kept.
var errDamaged = errors.New("the packed plan is damaged")

// WriteTo writes the plan as JSON, byte for byte as planfile does. It takes a fraction of
// the time.
func (p *PackedPlan) WriteTo(w io.Writer) (written int64, err error) {
	room := texts.Get().(*[]byte)
	defer texts.Put(room)
	for block, err := range blocks(p.packed) {
		if err != nil {
			return written, err
		}
		text, err := s2.Decode((*room)[:cap(*room)], block)
		if err != nil {
			return written, err
		}
		*room = text
		n, err := w.Write(text)
		if written += int64(n); err != nil {
			return written, err
		}
	}
	return written, nil
}

func unpack(packed []byte) (*scheduler.Plan, error) {
	text, err := unpacked(packed)
	if err != nil {
		return nil, err
	}
	var plan scheduler.Plan
	if err := json.Unmarshal(text, &plan); err != nil {
		return nil, err
	}
	return &plan, nil
}

func unpacked(packed []byte) ([]byte, error) {
	if len(packed) == 0 || packed[0] != packedByS2 {
		return io.ReadAll(flate.NewReader(bytes.NewReader(packed)))
	}
	n := 0
	for block, err := range blocks(packed) {
		if err != nil {
			return nil, err
		}
		more, err := s2.DecodedLen(block)
		if err != nil {
			return nil, err
		}
		n += more
	}
	text := make([]byte, 0, n)
	for block, err := range blocks(packed) {
		if err != nil {
			return nil, err
		}
		more, err := s2.Decode(text[len(text):n], block)
		if err != nil {
			return nil, err
		}
		text = text[:len(text)+len(more)]
	}
	return text, nil
}

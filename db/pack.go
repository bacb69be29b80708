package db

import (
	"bytes"
	"compress/flate"
	"encoding/json"
	"io"
	"slices"

	"github.com/klauspost/compress/s2"

	"gaugerod/scheduler"
	"gaugerod/scheduler/planfile"
)

// packedByS2 stands before a plan that is packed with S2. No deflated plan, as they
// were kept before, begins so: it would be a block of the type that RFC 1951 (3.2.3)
// reserves.
const packedByS2 = 0xff

// PackedPlan is a plan with its JSON, packed.
type PackedPlan struct {
	*scheduler.Plan
	packed []byte
}

// Pack writes a plan as packed JSON, to be kept and to be answered with. Postgres would
// take several times as long over the same as jsonb, and the log of its writes would be
// as much longer; deflating takes four times as long as this and gives much the same
// size.
func Pack(plan *scheduler.Plan) PackedPlan {
	text := planfile.Append(nil, plan)
	packed := make([]byte, 1+s2.MaxEncodedLen(len(text)))
	packed[0] = packedByS2
	block := s2.Encode(packed[1:], text)
	return PackedPlan{Plan: plan, packed: slices.Clone(packed[:1+len(block)])}
}

// Text is the plan as JSON, byte for byte as planfile writes it. It takes a fraction of
// the time.
func (p *PackedPlan) Text() ([]byte, error) { return unpacked(p.packed) }

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
	if len(packed) > 0 && packed[0] == packedByS2 {
		return s2.Decode(nil, packed[1:])
	}
	return io.ReadAll(flate.NewReader(bytes.NewReader(packed)))
}

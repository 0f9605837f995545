package packing

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"hash/crc32"
	"io"
	"sync"
)

// Body is a page between the tokens of its forms, which are drawn anew for each
// visit: plain, and packed so that the pieces can stand behind one another in one
// stream.
type Body []piece

// piece is the text up to a token, and the token that followed; that of the last
// piece is empty.
type piece struct {
	plain, packed []byte
	token         string
}

// bodyPackers holds what packed one page for the next: each is more than half a megabyte.
var bodyPackers sync.Pool

func takePacker() (*flate.Writer, error) {
	if kept, ok := bodyPackers.Get().(*flate.Writer); ok {
		return kept, nil
	}
	return flate.NewWriter(io.Discard, level)
}

// NewBody takes a page apart at the tokens that inputs of a name carry in it, written as
// name="…" value="…". What people typed cannot hold that, since quotes are escaped.
func NewBody(page []byte, input string) (Body, error) {
	before, after := []byte(`name="`+input+`" value="`), []byte(`"`)
	var body Body
	packer, err := takePacker()
	if err != nil {
		return nil, err
	}
	defer bodyPackers.Put(packer)
	for len(page) > 0 {
		p := piece{plain: page}
		if i := bytes.Index(page, before); i >= 0 {
			i += len(before)
			token, _, _ := bytes.Cut(page[i:], after)
			p.plain, p.token = page[:i], string(token)
		}
		page = page[len(p.plain)+len(p.token):]
		var packed bytes.Buffer
		packer.Reset(&packed) // no piece refers to one before it, between which tokens will be others
		if _, err := packer.Write(p.plain); err != nil {
			return nil, err
		}
		if err := packer.Flush(); err != nil { // ends on a whole byte
			return nil, err
		}
		p.packed = packed.Bytes()
		body = append(body, p)
	}
	return body, nil
}

// Size returns how many bytes of memory it holds, about.
func (b Body) Size() int {
	n := 0
	for _, p := range b {
		n += len(p.plain) + len(p.packed)
	}
	return n
}

// sizePlain is the length of the page.
func (b Body) sizePlain() int {
	n := 0
	for _, p := range b {
		n += len(p.plain) + len(p.token)
	}
	return n
}

// sizePacked is about the length of the page as a gzip stream.
func (b Body) sizePacked() int {
	const around, stored = 64, 5 // head, checksum and last block; what begins a stored block
	n := around
	for _, p := range b {
		n += len(p.packed) + len(p.token) + stored
	}
	return n
}

// Renewed returns the page with tokens of its own, as draw gives them, of less than
// 65,536 bytes: those that were the same still are.
func (b Body) Renewed(draw func() string) []byte {
	out := make([]byte, 0, b.sizePlain())
	for p, token := range b.drawn(draw) {
		out = append(append(out, p.plain...), token...)
	}
	return out
}

// gzipHead begins a gzip stream without name or time (RFC 1952, 2.3).
var gzipHead = []byte{0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 0xff}

// RenewedPacked returns what Renewed does as a gzip stream: each piece as it was packed,
// each token as a block that is stored as it is (RFC 1951, 3.2.4), and the checksum over
// it all.
func (b Body) RenewedPacked(draw func() string) []byte {
	out := make([]byte, 0, b.sizePacked())
	out = append(out, gzipHead...)
	sum, length := uint32(0), 0
	for p, token := range b.drawn(draw) {
		out = append(out, p.packed...)
		sum = crc32.Update(sum, crc32.IEEETable, p.plain)
		if token != "" {
			out = append(storedBlock(out, 0, len(token)), token...)
			sum = crc32.Update(sum, crc32.IEEETable, []byte(token))
		}
		length += len(p.plain) + len(token)
	}
	out = storedBlock(out, 1, 0)
	out = binary.LittleEndian.AppendUint32(out, sum)
	return binary.LittleEndian.AppendUint32(out, uint32(length)) //nolint:gosec // modulo 2^32, as the format has it
}

// storedBlock begins a block that is stored as it is, of a length below 2^16.
func storedBlock(out []byte, final byte, length int) []byte {
	out = append(out, final)
	out = binary.LittleEndian.AppendUint16(out, uint16(length))   //nolint:gosec // tokens are short
	return binary.LittleEndian.AppendUint16(out, ^uint16(length)) //nolint:gosec // the same
}

// drawn gives each piece with the token that now follows it.
func (b Body) drawn(draw func() string) func(yield func(piece, string) bool) {
	return func(yield func(piece, string) bool) {
		now := map[string]string{"": ""}
		for _, p := range b {
			if _, ok := now[p.token]; !ok {
				now[p.token] = draw()
			}
			if !yield(p, now[p.token]) {
				return
			}
		}
	}
}

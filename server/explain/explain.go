// Package explain adds a reason, which all other statuses have, to those that gRPC itself
// makes: for a message that is too long, an unknown call or compression, or headers that
// gRPC does not accept. No handler or interceptor sees these statuses before gRPC sends
// them, so they are explained on the connection.
package explain

import (
	"encoding/binary"
	"net"

	"golang.org/x/net/http2"
	"golang.org/x/net/http2/hpack"
	"google.golang.org/grpc/credentials"
)

// Credentials gives connections on which every status has a reason.
func Credentials(c credentials.TransportCredentials) credentials.TransportCredentials {
	return &explained{c}
}

type explained struct {
	credentials.TransportCredentials
}

// ServerHandshake implements credentials.TransportCredentials.
func (e *explained) ServerHandshake(raw net.Conn) (net.Conn, credentials.AuthInfo, error) {
	c, info, err := e.TransportCredentials.ServerHandshake(raw)
	if err != nil {
		return nil, nil, err
	}
	return newConn(c), info, nil
}

// Clone implements credentials.TransportCredentials.
func (e *explained) Clone() credentials.TransportCredentials {
	return &explained{e.TransportCredentials.Clone()}
}

// conn follows the frames that are written (RFC 9113, section 4.1) and reads all their
// headers (RFC 7541), since later headers refer to earlier ones.
type conn struct {
	net.Conn
	skip int    // bytes of a payload still to pass unread
	held []byte // the beginning of headers, or of a frame's head, whose rest is not written yet
	read *hpack.Decoder
	says ending // of the headers being read
	lost bool   // headers could not be read: from then on everything passes unchanged

	block []byte // of the headers last read, for the next
}

// table is the most bytes of headers that gRPC has the other end remember.
const table = 4096

func newConn(c net.Conn) *conn {
	e := &conn{Conn: c}
	e.read = hpack.NewDecoder(table, func(f hpack.HeaderField) { e.says.add(f) })
	return e
}

// Write implements net.Conn. One goroutine writes. What is held back is of no use to the
// other end without its rest, which gRPC writes next.
func (c *conn) Write(p []byte) (int, error) {
	b := p
	if len(c.held) > 0 {
		b, c.held = append(c.held, p...), nil
	}
	if b = c.explain(b); len(b) > 0 {
		if _, err := c.Conn.Write(b); err != nil {
			return 0, err
		}
	}
	return len(p), nil
}

const head = 9 // bytes of a frame's head

// explain gives the bytes that are to be sent now.
func (c *conn) explain(b []byte) []byte {
	var out []byte
	from := 0 // b[from:at] is sent unchanged
	for at := 0; at < len(b) && !c.lost; {
		if c.skip > 0 {
			n := min(c.skip, len(b)-at)
			c.skip -= n
			at += n
			continue
		}
		n := unit(b[at:])
		if n == 0 {
			c.held = append([]byte(nil), b[at:]...)
			b = b[:at]
			break
		}
		if http2.FrameType(b[at+3]) != http2.FrameHeaders {
			c.skip = payload(b[at:])
		} else if more := c.headers(b[at : at+n]); more != nil {
			out = append(append(out, b[from:at]...), more...)
			from = at + n
		}
		at += n
	}
	if from == 0 {
		return b
	}
	return append(out, b[from:]...)
}

func payload(frame []byte) int {
	return int(frame[0])<<16 | int(frame[1])<<8 | int(frame[2])
}

// unit is how many bytes must be handled together: a frame's head, or headers with all
// their continuations; 0 if they are not complete.
func unit(b []byte) int {
	if len(b) < head {
		return 0
	}
	if http2.FrameType(b[3]) != http2.FrameHeaders {
		return head
	}
	for n := 0; ; {
		if len(b) < n+head || len(b) < n+head+payload(b[n:]) {
			return 0
		}
		last := http2.Flags(b[n+4]).Has(http2.FlagHeadersEndHeaders)
		n += head + payload(b[n:])
		if last {
			return n
		}
	}
}

// headers reads a block of headers and gives the frames to send instead; nil if they are
// sent unchanged.
func (c *conn) headers(frames []byte) []byte {
	c.says = ending{}
	c.block = c.block[:0]
	for b := frames; len(b) > 0; {
		n := head + payload(b)
		c.block = append(c.block, b[head:n]...)
		b = b[n:]
	}
	flags := http2.Flags(frames[4])
	_, err := c.read.Write(c.block)
	if err != nil || c.read.Close() != nil || flags&(http2.FlagHeadersPadded|http2.FlagHeadersPriority) != 0 {
		c.lost = true
		return nil
	}
	if !flags.Has(http2.FlagHeadersEndStream) {
		return nil
	}
	more := c.says.details()
	if more == nil {
		return nil
	}
	return write(binary.BigEndian.Uint32(frames[5:]), append(c.block, more...))
}

// longest is the longest payload that every receiver accepts (RFC 9113, section 4.2).
const longest = 16 << 10

// write gives the frames of the headers that end a stream.
func write(stream uint32, block []byte) (out []byte) {
	kind, flags := http2.FrameHeaders, http2.FlagHeadersEndStream
	for len(block) > 0 {
		n := min(len(block), longest)
		if n == len(block) {
			flags |= http2.FlagHeadersEndHeaders
		}
		out = append(out, byte(n>>16), byte(n>>8), byte(n), byte(kind), byte(flags))
		out = binary.BigEndian.AppendUint32(out, stream)
		out = append(out, block[:n]...)
		block, kind, flags = block[n:], http2.FrameContinuation, 0
	}
	return out
}

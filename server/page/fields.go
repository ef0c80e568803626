package page

import "google.golang.org/protobuf/reflect/protoreflect"

// byMessage has what is said of each field, by the names of message and field.
type byMessage[T any] map[string]map[string]T

// add adds the fields of a message and of all messages that it holds. Each message is
// read once, so one that holds itself ends the walk.
func (all byMessage[T]) add(m protoreflect.MessageDescriptor, of func(protoreflect.FieldDescriptor) T) {
	name := string(m.Name())
	if all[name] != nil {
		return
	}
	fields := map[string]T{}
	all[name] = fields
	for i := range m.Fields().Len() {
		f := m.Fields().Get(i)
		fields[string(f.Name())] = of(f)
		if f.Message() != nil {
			all.add(f.Message(), of)
		}
	}
}

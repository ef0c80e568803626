namespace System.Runtime.CompilerServices {
  using System.Runtime.InteropServices;

  // What the protobuf runtime library expects of the platform, but Debian's Mono does not
  // expose. For compiling only; programs use the library's own package.
  internal static unsafe class Unsafe {
    public static void WriteUnaligned<T>(ref byte to, T value) where T : struct {
      fixed (byte* p = &to) {
        MemoryMarshal.Write(new Span<byte>(p, Marshal.SizeOf(typeof(T))), ref value);
      }
    }

    public static T ReadUnaligned<T>(ref byte from) where T : struct {
      fixed (byte* p = &from) {
        return MemoryMarshal.Read<T>(new ReadOnlySpan<byte>(p, Marshal.SizeOf(typeof(T))));
      }
    }

    public static ref byte As<A, B>(ref char c) {
      fixed (char* p = &c) {
        return ref *(byte*)p;
      }
    }

    public static ref byte AddByteOffset(ref byte b, IntPtr n) {
      fixed (byte* p = &b) {
        return ref *(p + n.ToInt64());
      }
    }

    public static ref char AddByteOffset(ref char c, IntPtr n) {
      fixed (char* p = &c) {
        return ref *(char*)((byte*)p + n.ToInt64());
      }
    }

    public static ref byte Add(ref byte b, int n) {
      fixed (byte* p = &b) {
        return ref *(p + n);
      }
    }
  }
}

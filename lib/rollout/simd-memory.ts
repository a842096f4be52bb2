/** Room in a WebAssembly memory, handed out and taken back: first fit, in steps of 64 bytes, neighbours joined. The memory grows when it must. */
export type Room = { readonly address: number; readonly bytes: number }

export class SimdMemory {
  readonly memory = new WebAssembly.Memory({ initial: 4 })
  private free: { address: number; bytes: number }[]

  /** `base`: below it lies what the module itself keeps. */
  constructor(base: number) {
    this.free = [{ address: base, bytes: this.memory.buffer.byteLength - base }]
  }

  /** The address of so many bytes, undefined in content. Views made before may be void: the memory may have grown. */
  take(bytes: number): Room {
    const wanted = Math.ceil(bytes / step) * step
    const place = this.free.find((one) => one.bytes >= wanted) ?? this.grow(wanted)
    const room = { address: place.address, bytes: wanted }
    place.address += wanted
    place.bytes -= wanted
    if (place.bytes === 0) this.free.splice(this.free.indexOf(place), 1)
    return room
  }

  giveBack({ address, bytes }: Room): void {
    const next = this.free.findIndex((one) => one.address > address)
    this.free.splice(next < 0 ? this.free.length : next, 0, { address, bytes })
    for (let i = this.free.length - 1; i > 0; i--) {
      const before = this.free[i - 1]
      if (before.address + before.bytes !== this.free[i].address) continue
      before.bytes += this.free[i].bytes
      this.free.splice(i, 1)
    }
  }

  private grow(bytes: number) {
    const end = this.memory.buffer.byteLength
    const last = this.free.at(-1)
    const atEnd = last && last.address + last.bytes === end ? last : null
    const pages = Math.ceil((bytes - (atEnd?.bytes ?? 0)) / pageBytes)
    this.memory.grow(pages)
    if (atEnd) {
      atEnd.bytes += pages * pageBytes
      return atEnd
    }
    const place = { address: end, bytes: pages * pageBytes }
    this.free.push(place)
    return place
  }
}

const step = 64
const pageBytes = 65536

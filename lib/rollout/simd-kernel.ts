/** The rollout's inner loops in WebAssembly with SIMD (`warp-kernel.as`): its memory, its pictures and its sums. */
import type { HeldPicture, Kernel, MapPixels, Sampling, Sums } from './kernel'
import { checkPicture, halvingsOf, type Picture } from './picture'
import { cubicWeights } from './plain-kernel'
import { type Room, SimdMemory } from './simd-memory'
import { warpKernelWasm } from './warp-kernel-wasm'
import { cellSize, type WarpPlan } from './warp-plan'

/** The kernel, ready to run; null where this machine's WebAssembly has no SIMD. */
export async function simdKernel(): Promise<Kernel | null> {
  const bytes = Uint8Array.from(atob(warpKernelWasm), (letter) => letter.charCodeAt(0))
  if (!WebAssembly.validate(bytes)) return null
  const memory = new SimdMemory(65536)
  const { instance } = await WebAssembly.instantiate(bytes, { env: { memory: memory.memory } })
  const desk: Desk = { memory, run: instance.exports as unknown as WarpExports, cubic: memory.take(256 * 8), scratch: memory.take(1 << 20) }
  writeCubicTable(desk)
  return {
    hold: (picture) => new SimdPicture(desk, checkPicture(picture)),
    sums: (width, rows, wantSources) => new SimdSums(desk, width, rows, wantSources),
  }
}

type WarpExports = {
  warpCells(
    sums: number,
    width: number,
    nodes: number,
    cells: number,
    count: number,
    levels: number,
    cubic: number,
    strongest: number,
    sources: number,
    index: number,
  ): void
  settle(sums: number, rgba: number, count: number): void
  warpAlone(rgba: number, width: number, nodes: number, cells: number, count: number, levels: number, cubic: number): void
  sourcesAlone(rgba: number, sources: number, count: number, index: number): void
  packRow(from: number, channels: number, width: number, to: number): void
  halveRow(above: number, below: number, width: number, to: number): void
}

/** Scratch holds what a single call needs: a plan, a row of a picture, settled pixels. */
type Desk = { memory: SimdMemory; run: WarpExports; cubic: Room; scratch: Room }

const padding = 2
const tileColumns = 64

function scratchFor(desk: Desk, bytes: number): number {
  if (desk.scratch.bytes < bytes) {
    desk.memory.giveBack(desk.scratch)
    desk.scratch = desk.memory.take(bytes)
  }
  return desk.scratch.address
}

/** 256 fractions x four weights times 16384 that add to 16384 exactly. */
function writeCubicTable({ memory, cubic }: Desk): void {
  const table = new Int16Array(memory.memory.buffer, cubic.address, 1024)
  const weights = new Float64Array(4)
  for (let i = 0; i < 256; i++) {
    cubicWeights(i / 256, weights)
    for (let k = 0; k < 4; k++) table[4 * i + k] = Math.round(16384 * weights[k])
    const excess = table[4 * i] + table[4 * i + 1] + table[4 * i + 2] + table[4 * i + 3] - 16384
    table[4 * i + (i < 128 ? 1 : 2)] -= excess
  }
}

type Level = { room: Room; width: number; height: number }

const levelBytes = (width: number, height: number) => (width + 2 * padding) * (height + 2 * padding) * 4
const rowAddress = ({ room, width }: Level, row: number) => room.address + ((row + padding) * (width + 2 * padding) + padding) * 4

class SimdPicture implements HeldPicture {
  readonly width: number
  readonly height: number
  private readonly levels: Level[]

  constructor(
    private readonly desk: Desk,
    picture: Picture,
  ) {
    const { width, height, channels, data } = picture
    this.width = width
    this.height = height
    const level = { room: desk.memory.take(levelBytes(width, height)), width, height }
    this.levels = [level]
    const band = Math.max(1, Math.floor((1 << 20) / (width * channels)))
    const from = scratchFor(desk, band * width * channels)
    for (let row = 0; row < height; row += band) {
      const count = Math.min(band, height - row)
      new Uint8Array(desk.memory.memory.buffer).set(data.subarray(row * width * channels, (row + count) * width * channels), from)
      for (let k = 0; k < count; k++)
        desk.run.packRow(from + k * width * channels, channels, width, rowAddress(level, row + k) - 4 * padding)
    }
    this.repeatEdges(level)
  }

  /** Address, width and height of the levels up to the given one, as the kernel reads them. */
  levelTable(deepest: number): Int32Array {
    const table = new Int32Array(4 * (deepest + 1))
    for (let k = 0; k <= deepest; k++) {
      const { room, width, height } = this.level(k)
      table.set([room.address, width, height], 4 * k)
    }
    return table
  }

  private level(halvings: number): Level {
    if (halvings > halvingsOf(this)) throw new Error(`a picture of ${this.width} x ${this.height} px has no halving ${halvings}`)
    while (this.levels.length <= halvings) {
      const finer = this.levels[this.levels.length - 1]
      const [width, height] = [finer.width >> 1, finer.height >> 1]
      const level = { room: this.desk.memory.take(levelBytes(width, height)), width, height }
      for (let y = 0; y < height; y++)
        this.desk.run.halveRow(rowAddress(finer, 2 * y), rowAddress(finer, 2 * y + 1), width, rowAddress(level, y))
      this.repeatEdges(level)
      this.levels.push(level)
    }
    return this.levels[halvings]
  }

  private repeatEdges(level: Level): void {
    const bytes = new Uint8Array(this.desk.memory.memory.buffer)
    const rowBytes = (level.width + 2 * padding) * 4
    const start = (row: number) => rowAddress(level, row) - 4 * padding
    for (let k = 1; k <= padding; k++) {
      bytes.copyWithin(start(-k), start(0), start(0) + rowBytes)
      bytes.copyWithin(start(level.height - 1 + k), start(level.height - 1), start(level.height - 1) + rowBytes)
    }
  }

  release(): void {
    for (const { room } of this.levels) this.desk.memory.giveBack(room)
    this.levels.length = 0
  }
}

/** A plan in the scratch, aligned for SIMD, with `room` bytes of scratch after it. */
function layPlan(desk: Desk, picture: HeldPicture, { nodes, cells, count }: WarpPlan, room: number) {
  if (!(picture instanceof SimdPicture)) throw new Error('a picture of another kernel')
  let deepest = 0
  for (let at = 0; at < count * cellSize; at += cellSize) deepest = Math.max(deepest, cells[at + 8])
  const table = picture.levelTable(deepest)
  const aligned = (bytes: number) => 64 * Math.ceil(bytes / 64)
  const sizes = [table, nodes, cells].map(({ byteLength }) => aligned(byteLength))
  const levels = scratchFor(desk, sizes[0] + sizes[1] + sizes[2] + room)
  const laid = { levels, nodes: levels + sizes[0], cells: levels + sizes[0] + sizes[1], after: levels + sizes[0] + sizes[1] + sizes[2] }
  const { buffer } = desk.memory.memory
  new Int32Array(buffer).set(table, laid.levels / 4)
  new Float32Array(buffer).set(nodes, laid.nodes / 4)
  new Int32Array(buffer).set(cells, laid.cells / 4)
  return laid
}

class SimdSums implements Sums {
  empty = true
  private readonly sums: Room
  private readonly strongest: Room | null
  private readonly sources: Room | null
  /** Which tiles of columns anything was added to: only they are settled. */
  private readonly touched: Uint8Array
  private readonly stride: number

  constructor(
    private readonly desk: Desk,
    readonly width: number,
    readonly rows: number,
    wantSources: boolean,
  ) {
    // whole tiles, since pixels are settled four at a time
    this.stride = Math.ceil(width / tileColumns) * tileColumns
    const pixels = this.stride * rows
    this.sums = desk.memory.take(pixels * 16)
    this.strongest = wantSources ? desk.memory.take(pixels * 4) : null
    this.sources = wantSources ? desk.memory.take(pixels) : null
    this.touched = new Uint8Array(Math.ceil(width / tileColumns))
    this.fill(this.sums, 0)
    this.emptySources()
  }

  private fill(room: Room | null, value: number): void {
    if (room) new Uint8Array(this.desk.memory.memory.buffer).fill(value, room.address, room.address + room.bytes)
  }

  private emptySources(): void {
    this.fill(this.strongest, 0)
    this.fill(this.sources, 255)
  }

  add(picture: HeldPicture, plan: WarpPlan, sampling: Sampling, index: number): void {
    const { cells, count } = plan
    if (count === 0) return
    this.empty = false
    for (let at = 0; at < count * cellSize; at += cellSize)
      this.touched.fill(1, (cells[at] / tileColumns) | 0, (((cells[at] + cells[at + 2] - 1) / tileColumns) | 0) + 1)
    const { desk } = this
    const laid = layPlan(desk, picture, plan, 0)
    const cubic = sampling === 'bicubic' ? desk.cubic.address : 0
    const [strongest, sources] = [this.strongest?.address ?? 0, this.sources?.address ?? 0]
    desk.run.warpCells(this.sums.address, this.stride, laid.nodes, laid.cells, count, laid.levels, cubic, strongest, sources, index)
  }

  alone(
    picture: HeldPicture,
    plan: WarpPlan,
    sampling: Sampling,
    index: number,
    rows: number,
    columns: number,
    map: MapPixels,
    at: number,
  ): void {
    const { desk } = this
    const bytes = columns * rows * 4
    const laid = layPlan(desk, picture, plan, bytes + (map.sources ? bytes / 4 : 0))
    const cubic = sampling === 'bicubic' ? desk.cubic.address : 0
    const rgba = laid.after
    new Uint8Array(desk.memory.memory.buffer, rgba, bytes).fill(0)
    desk.run.warpAlone(rgba, columns, laid.nodes, laid.cells, plan.count, laid.levels, cubic)
    this.copyOut(rgba, 4, columns, map.rgba, 0, columns, rows, map.width, at)
    if (!map.sources) return
    desk.run.sourcesAlone(rgba, rgba + bytes, bytes / 4, index)
    this.copyOut(rgba + bytes, 1, columns, map.sources, 0, columns, rows, map.width, at)
  }

  settle(rows: number, columns: number, map: MapPixels, at: number): void {
    const { desk, stride } = this
    const scratch = scratchFor(desk, stride * rows * 4)
    for (const [from, to] of this.touchedSpans()) {
      if (to - from === stride) desk.run.settle(this.sums.address, scratch, stride * rows)
      else
        for (let row = 0; row < rows; row++)
          desk.run.settle(this.sums.address + (row * stride + from) * 16, scratch + (row * stride + from) * 4, to - from)
      const end = Math.min(to, columns)
      this.copyOut(scratch, 4, stride, map.rgba, from, end, rows, map.width, at)
      if (map.sources && this.sources) this.copyOut(this.sources.address, 1, stride, map.sources, from, end, rows, map.width, at)
    }
    this.touched.fill(0)
    this.emptySources()
    this.empty = true
  }

  /** So many bytes a pixel, from rows of `stride` pixels into rows of the map's. */
  private copyOut(
    address: number,
    bytes: number,
    stride: number,
    out: Uint8Array | Uint8ClampedArray,
    from: number,
    end: number,
    rows: number,
    width: number,
    at: number,
  ): void {
    const held = new Uint8Array(this.desk.memory.memory.buffer, address, stride * rows * bytes)
    if (end - from === stride && width === stride) out.set(held, at * bytes)
    else
      for (let row = 0; row < rows; row++)
        out.set(held.subarray((row * stride + from) * bytes, (row * stride + end) * bytes), (at + row * width + from) * bytes)
  }

  /** Columns from, and to but for, in whole tiles. */
  private touchedSpans(): [number, number][] {
    const spans: [number, number][] = []
    for (let tile = 0; tile < this.touched.length; tile++) {
      if (this.touched[tile] === 0) continue
      const from = tile * tileColumns
      while (this.touched[tile] === 1) tile++
      spans.push([from, tile * tileColumns])
    }
    return spans
  }

  release(): void {
    for (const room of [this.sums, this.strongest, this.sources]) if (room) this.desk.memory.giveBack(room)
  }
}

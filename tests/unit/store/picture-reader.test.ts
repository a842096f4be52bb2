/** What a picture is, told by its content; and each way in which a file is none, refused with place, fault and remedy. */
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { AppError } from '../../../lib/model/app-error'
import { decodeWhole, largestBytes, readPicture } from '../../../lib/store/picture-reader'
import { uprightPixelsOf } from '../../../lib/store/previews'
import { card, heicCard } from './test-pictures'

const kinds = [
  ['JPEG', 'jpg', 'image/jpeg', () => card().jpeg().toBuffer()],
  ['PNG', 'png', 'image/png', () => card().png().toBuffer()],
  ['WebP', 'webp', 'image/webp', () => card().webp().toBuffer()],
  ['TIFF', 'tif', 'image/tiff', () => card().tiff().toBuffer()],
  ['HEIC', 'heic', 'image/heic', heicCard],
] as const

async function refusal(name: string, bytes: Uint8Array): Promise<AppError> {
  const error = await readPicture(name, bytes)
    .then((picture) => decodeWhole(name, picture, bytes))
    .then(
      () => null,
      (reason) => reason,
    )
  expect(error).toBeInstanceOf(AppError)
  expect(error.message).toMatch(/^[^:]+: .+; .+\.$/)
  expect(error.message.startsWith(`${name}: `)).toBe(true)
  return error
}

describe.each(kinds)('a %s picture', (_word, extension, mime, make) => {
  it('is known by its content, with its size', async () => {
    const bytes = await make()
    const picture = await readPicture('no-extension', bytes)
    expect(picture).toMatchObject({ mime, width: 64, height: 48 })
    expect(await decodeWhole('x', picture, bytes)).toMatchObject({ width: 64, height: 48 })
  })

  it('shows its red corner at the top left when it is decoded', async () => {
    const { data, width } = await uprightPixelsOf(await make(), mime)
    const at = (x: number, y: number) => [...data.subarray(3 * (y * width + x), 3 * (y * width + x) + 3)]
    const [red, green] = at(4, 4) as [number, number]
    expect(red).toBeGreaterThan(200)
    expect(green).toBeLessThan(80)
    expect(at(60, 44)[0]).toBeLessThan(100)
  })

  it('is refused when it is cut off in the middle', async () => {
    const bytes = await make()
    const { code } = await refusal(`p2.${extension}`, bytes.subarray(0, Math.floor(bytes.length * 0.6)))
    expect(code).toBe('unsupported-picture')
  })
})

describe('the lens data of EXIF', () => {
  it.each([
    ['JPEG', () => card().jpeg().toBuffer()],
    ['WebP', () => card().webp().toBuffer()],
    ['PNG', () => card().png().toBuffer()],
    ['HEIC', heicCard],
  ])('is read from a %s picture', async (_word, make) => {
    expect((await readPicture('p', await make())).lens).toEqual({ focal35Mm: 26, focalMm: 5.7 })
  })

  it('is null where EXIF is silent', async () => {
    const bare = await sharp(await card().png().toBuffer())
      .jpeg()
      .toBuffer()
    expect((await readPicture('p.jpg', bare)).lens).toEqual({ focal35Mm: null, focalMm: null })
  })
})

describe('EXIF orientation', () => {
  it.each([
    [1, 64, 48],
    [3, 64, 48],
    [6, 48, 64],
    [8, 48, 64],
  ])('%i turns the size before anything counts pixels', async (orientation, width, height) => {
    const bytes = await card(orientation).jpeg({ quality: 95 }).toBuffer()
    expect(await readPicture('p.jpg', bytes)).toMatchObject({ width, height })
    const upright = await uprightPixelsOf(bytes, 'image/jpeg')
    expect([upright.width, upright.height]).toEqual([width, height])
  })

  it('6 brings the stored top left corner to the top right', async () => {
    const { data, width } = await uprightPixelsOf(await card(6).jpeg({ quality: 95 }).toBuffer(), 'image/jpeg')
    expect(data[3 * (4 * width + width - 5)]).toBeGreaterThan(200)
    expect(data[3 * (4 * width + 4)]).toBeLessThan(100)
  })
})

describe('refused', () => {
  it('is an empty file', async () => {
    expect(await refusal('p2.jpg', new Uint8Array(0))).toMatchObject({
      code: 'unsupported-picture',
      message: expect.stringContaining('is empty'),
    })
  })

  it('is a text named .jpg', async () => {
    const { message } = await refusal('p2.jpg', Buffer.from('a note about pin two, saved under a wrong name'))
    expect(message).toContain('is not a picture')
  })

  it('is a picture whose name claims another kind; the remedy is the right name', async () => {
    const { message } = await refusal('p2.jpg', await card().png().toBuffer())
    expect(message).toContain('p2.png')
  })

  it('is a header without a picture', async () => {
    expect((await refusal('p2.png', Buffer.from('\x89PNG\r\n\x1a\nnothing more', 'latin1'))).code).toBe('unsupported-picture')
  })

  it('is a file over 60 MB, before it is decoded', async () => {
    const bytes = new Uint8Array(largestBytes + 1)
    bytes.set([0xff, 0xd8, 0xff])
    expect((await refusal('p2.jpg', bytes)).code).toBe('too-large')
  })

  it('is a picture over 100 megapixels, told by its header alone', async () => {
    const { code, message } = await refusal('p2.png', pngHeader(20_000, 6000))
    expect(code).toBe('too-large')
    expect(message).toContain('120 megapixels')
  })

  it('is a moving or newer format that is not served', async () => {
    const avif = await card().avif().toBuffer()
    expect((await refusal('p2.avif', avif)).message).toContain('JPEG, PNG, WebP, TIFF or HEIC')
  })
})

/** A PNG that declares this size and holds one byte of pixels (ISO/IEC 15948: signature, IHDR, IDAT, IEND, CRC-32 each). */
function pngHeader(width: number, height: number): Buffer {
  const chunk = (type: string, data: Buffer) => {
    const body = Buffer.concat([Buffer.from(type, 'latin1'), data])
    const length = Buffer.alloc(4)
    length.writeUInt32BE(data.length)
    const check = Buffer.alloc(4)
    check.writeUInt32BE(crc32(body))
    return Buffer.concat([length, body, check])
  }
  const header = Buffer.alloc(13)
  header.writeUInt32BE(width, 0)
  header.writeUInt32BE(height, 4)
  header.set([8, 2, 0, 0, 0], 8)
  const signature = Buffer.from('\x89PNG\r\n\x1a\n', 'latin1')
  return Buffer.concat([signature, chunk('IHDR', header), chunk('IDAT', Buffer.from([0])), chunk('IEND', Buffer.alloc(0))])
}

function crc32(bytes: Buffer): number {
  let crc = 0xffffffff
  for (const byte of bytes) {
    crc ^= byte
    for (let bit = 0; bit < 8; bit += 1) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1
  }
  return (crc ^ 0xffffffff) >>> 0
}

import { describe, expect, it } from 'vitest'
import { previewFor } from '@/components/photo/photo-picture'

describe('how wide a photograph is fetched', () => {
  it('the smallest preview that gives each screen px its own', () => {
    expect(previewFor(4000, 700)).toBe(800)
    expect(previewFor(4000, 1600)).toBe(1600)
    expect(previewFor(4000, 1601)).toBe(2400)
  })

  it('the full picture once one goes nearer than the widest preview shows, unless it holds no more', () => {
    expect(previewFor(4000, 2401)).toBe('full')
    expect(previewFor(2000, 9000)).toBe(2400)
  })
})

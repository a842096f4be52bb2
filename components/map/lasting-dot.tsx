'use client'
/** A dot that nobody sees. A canvas that is cleared and then left empty keeps its last picture in some browsers; with one thing on it, it does not. */
import { Rect } from 'react-konva'

export function LastingDot() {
  return <Rect width={1} height={1} fill="rgba(0, 0, 0, 0.01)" listening={false} />
}

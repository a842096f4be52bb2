'use client'
/** The width a drawing has on the screen, so that its lettering keeps its size on a phone. */
import { type RefObject, useEffect, useRef, useState } from 'react'

/** @returns a ref for the box, and its width in CSS px (`first` until it is known). */
export function useMeasuredWidth<Box extends HTMLElement>(first: number): [RefObject<Box | null>, number] {
  const box = useRef<Box>(null)
  const [width, setWidth] = useState(first)
  useEffect(() => {
    const element = box.current
    if (!element) return
    const observer = new ResizeObserver((entries) => {
      const measured = entries[0]?.contentRect.width
      if (measured) setWidth(Math.round(measured))
    })
    observer.observe(element)
    return () => observer.disconnect()
  }, [])
  return [box, width]
}

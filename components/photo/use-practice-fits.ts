'use client'
/**
 * Fits made for practice while the page has nothing else to do, so that the first handle that is dragged meets code that is compiled. Once in the life of
 * a page; put off where the page is busy.
 */
import { useEffect } from 'react'
import { practiceFit, practiceFits } from '@/lib/photo/practice-fit'

let made = 0

export function usePracticeFits(): void {
  useEffect(() => {
    let waiting: number | null = null
    const next = () => {
      if (made < practiceFits) waiting = whenIdle(one)
    }
    const one = () => {
      practiceFit(made)
      made += 1
      next()
    }
    next()
    return () => {
      if (waiting !== null) forget(waiting)
    }
  }, [])
}

/** Not every browser tells when it is idle: there after a pause. */
const pauseMs = 120
const tellsIdle = typeof requestIdleCallback === 'function'
const whenIdle = (work: () => void): number => (tellsIdle ? requestIdleCallback(work) : window.setTimeout(work, pauseMs))
const forget = (waiting: number): void => (tellsIdle ? cancelIdleCallback(waiting) : window.clearTimeout(waiting))

'use client'
/** Pages with canvases: they live in the browser alone. */
import dynamic from 'next/dynamic'

const waiting = () => <p style={{ padding: 24 }}>Laying the bench out …</p>

export const BenchOnPage = dynamic(() => import('./bench-page').then((module) => module.BenchPage), { ssr: false, loading: waiting })
export const FitOnPage = dynamic(() => import('@/components/photo/fit-page').then((module) => module.FitPage), {
  ssr: false,
  loading: waiting,
})
export const LiftsOnPage = dynamic(() => import('@/components/lift/lifts-page').then((module) => module.LiftsPage), {
  ssr: false,
  loading: waiting,
})
export const FindingsOnPage = dynamic(() => import('@/components/finding/findings-page').then((module) => module.FindingsPage), {
  ssr: false,
  loading: waiting,
})
export const FindingOnPage = dynamic(() => import('@/components/finding/finding-page').then((module) => module.FindingPage), {
  ssr: false,
  loading: waiting,
})

'use client'
/** One journal of the strip, true to scale: its small rollout, layout blue, oil hole, marks; or that it has no photograph yet. */
import { useEffect, useMemo, useRef } from 'react'
import { type JournalModel, verticesOf, worstFirst } from '@/components/editor/bench-model'
import { mapSheet, onSheet, turned, turnsToDraw } from '@/components/map/map-sheet'
import { oilHoleOutline } from '@/components/map/oil-hole-outline'
import { radiusBandMm } from '@/lib/finding/rule-card'
import type { MapPoint } from '@/lib/journal/surface'
import type { MarkConcern } from '@/lib/model/findings'
import styles from './shaft-strip.module.css'
import type { StripPicture } from './use-strip-rollouts'

export function StripCell({ model, picture }: { model: JournalModel; picture: StripPicture | undefined }) {
  const { surface } = model
  const sheet = useMemo(() => mapSheet(surface, 'rear-up'), [surface])
  const { width, height } = sheet.size
  const path = (points: readonly MapPoint[], closed: boolean) =>
    `M${points
      .map((point) => onSheet(sheet, point))
      .map(({ x, y }) => `${x.toFixed(1)} ${y.toFixed(1)}`)
      .join('L')}${closed ? 'Z' : ''}`
  const front = surface.frontTangentS + radiusBandMm(surface.front)
  const rear = surface.totalS - surface.rearTangentS + radiusBandMm(surface.rear)
  return (
    <span className={styles.cell} style={{ aspectRatio: `${width} / ${height}` }}>
      {picture ? <Rollout picture={picture} /> : null}
      <svg viewBox={`0 0 ${width} ${height}`} preserveAspectRatio="none" aria-hidden="true">
        <rect width={width} height={rear} fill="var(--on-steel-dye)" opacity={0.42} />
        <rect y={height - front} width={width} height={front} fill="var(--on-steel-dye)" opacity={0.42} />
        {model.row.value.oilHoles.map((hole) => (
          <path
            key={hole.id}
            d={path(oilHoleOutline(surface, hole, 0), true)}
            fill="#14191c"
            stroke="var(--on-steel-halo)"
            strokeWidth={0.8}
            vectorEffect="non-scaling-stroke"
          />
        ))}
        {worstFirst(model)
          .reverse()
          .flatMap(({ row, finding }) => {
            const vertices = verticesOf(model, row.value)
            if (!vertices) return []
            return turnsToDraw(vertices).map((turns) => (
              <SmallMark
                key={`${row.id}:${turns}`}
                d={path(turned(vertices, turns), row.value.shape === 'area')}
                concern={finding.concern}
              />
            ))
          })}
      </svg>
      {model.photos.length === 0 ? <span className={styles.empty}>No photograph yet</span> : null}
    </span>
  )
}

function SmallMark({ d, concern }: { d: string; concern: MarkConcern }) {
  const style = {
    'treat-as-cracked': { stroke: 'var(--on-steel-cracked)', strokeWidth: 2.2 },
    hold: { stroke: 'var(--on-steel-hold)', strokeWidth: 1.8, strokeDasharray: '5.5 2.5' },
    record: { stroke: 'var(--on-steel-record)', strokeWidth: 2, strokeDasharray: '.1 3', strokeLinecap: 'round' as const },
  }[concern]
  return (
    <g fill="none">
      <path d={d} stroke="var(--on-steel-halo)" strokeWidth={4} opacity={0.9} vectorEffect="non-scaling-stroke" />
      <path d={d} {...style} vectorEffect="non-scaling-stroke" />
    </g>
  )
}

function Rollout({ picture }: { picture: StripPicture }) {
  const canvas = useRef<HTMLCanvasElement>(null)
  useEffect(() => {
    canvas.current?.getContext('2d')?.drawImage(picture.canvas, 0, 0)
  }, [picture])
  return <canvas ref={canvas} key={`${picture.canvas.width}`} width={picture.canvas.width} height={picture.canvas.height} />
}

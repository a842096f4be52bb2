'use client'
/** A picture that one can move, bring nearer and draw on: the photograph and the map both stand on it. */
import { type KeyboardEvent, type ReactNode, useEffect, useMemo, useRef, useState } from 'react'
import { Layer, Stage } from 'react-konva'
import './konva-drawing'
import { LastingDot } from './lasting-dot'
import { Loupe, loupeNearer } from './loupe'
import styles from './picture-stage.module.css'
import { type PointerTarget, usePicturePointers } from './picture-pointer'
import { ScriberPad } from './scriber-pad'
import { useSteelColours } from './steel-colours'
import { type Size, type View, wholeView, zoomAt } from './view'

/** Height of the row below a picture, px. */
export const belowRoom = 46

/** `room`: width of the scale at the left, height of the one at the top, px. */
export type Ruler = { room: number; draw: (view: View, frame: Size) => ReactNode }

export function PictureStage({
  label,
  content,
  ground,
  scene,
  over,
  target,
  home,
  homeKey,
  onKey,
  magnify = false,
  rulers,
  below,
  onNearness,
}: {
  /** Spoken name of the picture. */
  label: string
  content: Size
  /** What seldom changes, at a view: a layer of its own. Drawn once more within the loupe, as the scene is. */
  ground: (view: View, frame: Size) => ReactNode
  scene: (view: View, frame: Size) => ReactNode
  /** What changes with every move of the pointer: drawn again without the rest. */
  over?: (view: View) => ReactNode
  target: PointerTarget
  /** The view one begins with and comes back to with `0`; the whole picture if left out. */
  home?: (content: Size, frame: Size) => View
  /** Another key begins anew at home. */
  homeKey: string
  onKey?: (event: KeyboardEvent<HTMLDivElement>) => void
  /** A loupe while something is held, away from the hand; under a finger there always is one. */
  magnify?: boolean
  /** Scales that stand beside the picture, as drawn content of an svg. */
  rulers?: { left?: Ruler; top?: Ruler; bottom?: Ruler }
  /** Stands below the picture, beside the buttons to come nearer; without it these lie on the picture. */
  below?: ReactNode
  /** Told how many screen px a content unit takes where it is drawn nearest, the loupe included. */
  onNearness?: (scale: number) => void
}) {
  const wrapper = useRef<HTMLDivElement>(null)
  const frame = useFrame(wrapper)
  const [moved, setMoved] = useState<{ key: string; view: View } | null>(null)
  const key = `${homeKey}:${frame.width}x${frame.height}`
  const atHome = useMemo(() => (home ?? wholeView)(content, frame), [home, content, frame])
  const view = moved?.key === key ? moved.view : atHome
  const onView = (next: View) => setMoved({ key, view: next })
  const { handlers, scriber } = usePicturePointers(wrapper, view, content, frame, onView, target)
  const nearness = view.scale * (magnify || scriber?.byTouch ? loupeNearer : 1)
  useEffect(() => onNearness?.(nearness), [onNearness, nearness])
  const colours = useSteelColours()
  const middle = { x: frame.width / 2, y: frame.height / 2 }
  const nearer = (factor: number) => onView(zoomAt(view, middle, factor, content, frame))

  function press(event: KeyboardEvent<HTMLDivElement>) {
    if (event.ctrlKey || event.metaKey || event.altKey) return
    if (event.key === '+' || event.key === '=') nearer(1.5)
    else if (event.key === '-') nearer(1 / 1.5)
    else if (event.key === '0') setMoved(null)
    else if (event.key === ' ') {
      // the space bar moves the picture, not the page
    } else return onKey?.(event)
    event.preventDefault()
  }

  const left = rulers?.left?.room ?? 0
  const top = rulers?.top?.room ?? 0
  const row = below ? belowRoom : 0
  const bottom = (rulers?.bottom?.room ?? 0) + row
  return (
    <div className={styles.stage} style={{ paddingLeft: left, paddingTop: top, paddingBottom: bottom }}>
      {rulers?.top && frame.width > 0 ? (
        <svg className={styles.ruler} style={{ left, top: 0 }} width={frame.width} height={top} aria-hidden="true">
          {rulers.top.draw(view, frame)}
        </svg>
      ) : null}
      {rulers?.left && frame.width > 0 ? (
        <svg className={styles.ruler} style={{ left: 0, top }} width={left} height={frame.height} aria-hidden="true">
          {rulers.left.draw(view, frame)}
        </svg>
      ) : null}
      {rulers?.bottom && frame.width > 0 ? (
        <svg className={styles.ruler} style={{ left, bottom: row }} width={frame.width} height={rulers.bottom.room} aria-hidden="true">
          {rulers.bottom.draw(view, frame)}
        </svg>
      ) : null}
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a canvas takes keys; the list beside it holds the same as buttons */}
      <div ref={wrapper} className={styles.canvas} tabIndex={0} role="application" aria-label={label} onKeyDown={press} {...handlers}>
        {frame.width > 0 ? (
          <Stage width={frame.width} height={frame.height} listening={false}>
            <Layer listening={false}>{ground(view, frame)}</Layer>
            <Layer listening={false}>
              <LastingDot />
              {scene(view, frame)}
            </Layer>
            <Layer listening={false}>
              <LastingDot />
              {over?.(view)}
              {scriber && (magnify || scriber.byTouch) ? (
                <Loupe
                  scriber={scriber}
                  view={view}
                  frame={frame}
                  scene={(at, room) => (
                    <>
                      {ground(at, room)}
                      {scene(at, room)}
                    </>
                  )}
                  colours={colours}
                />
              ) : null}
              {scriber?.byTouch ? <ScriberPad scriber={scriber} colours={colours} /> : null}
            </Layer>
          </Stage>
        ) : null}
      </div>
      {below ? (
        <div className={styles.below} style={{ height: belowRoom }}>
          {below}
        </div>
      ) : null}
      <div className={styles.nearer} style={below ? { right: 0, bottom: 0 } : undefined}>
        <button type="button" aria-label="Nearer" onClick={() => nearer(1.5)}>
          +
        </button>
        <button type="button" aria-label="Further" onClick={() => nearer(1 / 1.5)}>
          −
        </button>
        <button type="button" aria-label="0: whole picture" onClick={() => setMoved(null)}>
          0
        </button>
      </div>
    </div>
  )
}

/** The size of an element, kept up to date. */
export function useFrame(element: { current: HTMLElement | null }): Size {
  const [frame, setFrame] = useState<Size>({ width: 0, height: 0 })
  useEffect(() => {
    const watched = element.current
    if (!watched) return
    const observer = new ResizeObserver(() => setFrame({ width: watched.clientWidth, height: watched.clientHeight }))
    observer.observe(watched)
    return () => observer.disconnect()
  }, [element])
  return frame
}

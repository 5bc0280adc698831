// What the pages use of the vendored chart library and of the figures the builder writes for it.

declare namespace Plotly {
  interface Axis {
    tickvals?: number[] | undefined;
    ticktext?: string[];
    tickfont?: object;
    tickangle?: number;
    title?: object;
  }

  interface Layout {
    xaxis: Axis;
    yaxis: Axis;
    height: number;
    width?: number;
  }

  interface Trace {
    mode?: string;
  }

  interface Figure {
    data: Trace[];
    layout: Layout;
  }

  interface Library {
    react(place: HTMLElement, data: Trace[], layout: Layout, config: object): Promise<Drawn>;
    restyle(place: HTMLElement, changes: Record<string, unknown[]>, traces: number[]): Promise<unknown>;
  }

  /** An element once a figure is drawn in it. */
  interface Drawn extends HTMLElement {
    on(event: "plotly_hover", act: (event: { points: { curveNumber: number }[] }) => void): void;
    on(event: "plotly_unhover", act: () => void): void;
  }
}

interface Window {
  Plotly?: Plotly.Library;
}

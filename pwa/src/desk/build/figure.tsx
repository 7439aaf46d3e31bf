// A picture that the shop computer made of the log, what must be said beside it, and the table that says the same.
export interface Picture {
  title: string;
  svg: string | null;
  head: string[];
  rows: string[][];
  remarks: string[];
}

/** The SVG holds no script, style or link, and every word in it is escaped where it is made (core/pictures/svg.py). */
export function Figure({ picture }: { picture: Picture }) {
  return (
    <section class="slip picture">
      <h2>{picture.title}</h2>
      {picture.svg && (
        <div class="drawn" role="group" aria-label={`drawing: ${picture.title}`} tabIndex={0} dangerouslySetInnerHTML={{ __html: picture.svg }} />
      )}
      {picture.remarks.length > 0 && <ul class="remarks">{picture.remarks.map((remark) => <li key={remark}>{remark}</li>)}</ul>}
      {picture.rows.length > 0 && <Same picture={picture} />}
    </section>
  );
}

const NUMBER = /^\d+$/;

function Same({ picture }: { picture: Picture }) {
  return (
    <div class="tabled" role="group" aria-label={`table: ${picture.title}`} tabIndex={0}>
      <table>
        <caption class="small">{picture.svg ? "the same as a table" : "as the log stands"}</caption>
        <thead><tr>{picture.head.map((name) => <th key={name} scope="col">{name}</th>)}</tr></thead>
        <tbody>
          {picture.rows.map(([first, ...rest], at) => (
            <tr key={at}><th scope="row">{first}</th>{rest.map((cell, column) => <td key={column} class={NUMBER.test(cell) ? "number" : ""}>{cell}</td>)}</tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

"""What a random world takes from files as they are printed (A3.1, A3.2), and what changes by date (A4.9). All of it is invented."""

import re

# Codes of one length never overlap, so that any of them may have any zone.
LONG_CODES = ("05401", "05101-05199", "98101", "96900-96949", "00611")
SHORT_CODES = ("9", "0-1", "0", "05-06", "4-9")
COUNTRY_CODES = ("CA", "CA:K1A-K1B", "DE:10", "FR", "GB:PA", "GB:PA20-80", "GB:PA2", "GB:EC1A", "GB:B", "DE")
BRITISH_CODES = ("PA", "PA20-PA80", "PA2-8", "EC1A", "B", "PA2 0", "BFPO 61", "EC1-2")
TITLES = ("Road", "Air  Saver", "Zone", "Two Day")
FIRST_DAYS = ("2025-12-29", "2026-01-10", "2026-01-11", "2026-03-03", "2026-05-02", "2026-07-06", "2026-07-11", "2026-07-12", "2026-07-27",
              "2026-07-30", "2026-08-01", "2026-08-03", "2026-08-04", "2026-08-05", "2026-08-08", "2026-09-09", "2027-01-18")
LISTS = ("US:967-969", "US:006-009", "US:98101", "CA:K1A", "GB:PA20-80", "GB:PA2 0", "DE:80")


class Lists:
    """Of a World: `rng`, `share` and `files` are its own."""

    def begin_lists(self, start):
        """Forgets what another document named; `start` is how the names of its files begin."""
        self.start, self.printed, self.list_names, self.dated_values = start, [], [], {"percent": [], "amount": []}

    def chance(self, probability):
        return self.rng.random() < probability

    def dashes(self, code):
        return re.sub("-", self.rng.choice(("-", "-", "–", " — ", "---", " - ")), code)

    # -- A3.1

    def printed_file(self):
        """Writes a file of zones: what a chart must say of it."""
        rng = self.rng
        country = rng.choice(("US", "US", "US", "GB", None))
        if country == "GB":
            codes = rng.sample(BRITISH_CODES, rng.randint(2, len(BRITISH_CODES)))
        else:
            cuts = [0] + sorted(rng.sample(range(1, 1000), rng.randint(4, 14))) + [1000]
            codes = [f"{a:03}" if b == a + 1 else f"{a:03}-{b - 1:03}" for a, b in zip(cuts, cuts[1:]) if self.chance(0.9)]
            codes += rng.sample(LONG_CODES, rng.randint(0, 3)) + rng.sample(SHORT_CODES, rng.randint(0, 1))
        if country is None:
            codes = ["US:" + code for code in codes] + rng.sample(COUNTRY_CODES, rng.randint(1, len(COUNTRY_CODES)))
        if self.chance(0.4):
            rng.shuffle(codes)
        ends = country == "US" and self.chance(0.25)
        titles = rng.sample(TITLES, rng.choice((1, 1, 2, 3)))
        header = (["First Code", "Last Code"] if ends else ["Destination"]) + titles
        zones = {title: [] for title in titles}
        lines = []
        while codes:
            count = 1 if ends else min(len(codes), rng.choice((1, 1, 1, 2, 3)))
            cell, codes = codes[:count], codes[count:]
            line = [cell[0].split("-")[0], cell[0].split("-")[-1]] if ends else [
                rng.choice((",", "; ", " ,")).join(self.dashes(code) for code in cell)]
            for title in titles:
                none = self.chance(0.12) and zones[title] or not zones[title] and codes and self.chance(0.12)
                zone = rng.choice(("", "-", "—", "--")) if none else rng.choice(("1", "2", "3", "4", "A", "44"))
                zones[title] += [] if none else [zone]
                line.append(zone)
            lines.append(line)
        remarks = self.chance(0.3)
        if remarks:
            header, lines = header + ["Remarks"], [line + [rng.choice(("", "see below", "*"))] for line in lines]
            lines.insert(rng.randint(0, len(lines)), [""] * (len(header) - 1) + ["The west"])
        above = [[rng.choice(("Zones as of July", "\ufeffZones", "Zones, in force"))], [], ["", "Destinations"]][:rng.choice((0, 0, 1, 2, 3))]
        for _ in range(rng.choice((0, 0, 1))):
            lines.insert(rng.randint(0, len(lines)), rng.choice(([], [""] * len(header))))
        name = f"{self.start}-zones-{len(self.printed) + 1}.csv"
        self.files[name] = above + [header] + lines
        about = {"csv": name}
        if ends or self.chance(0.4):
            about["codes"] = ["first code", "LAST CODE"] if ends else rng.choice(("Destination", "DESTINATION ", "destination"))
        self.printed.append({"about": about, "country": country, "zones": zones,
                             "may_leave_out": len(titles) == 1 and not remarks and (not above or "codes" in about)})
        return self.printed[-1]

    def printed_chart(self):
        """A chart of a file's column, and its zones."""
        rng = self.rng
        file = rng.choice(self.printed) if self.printed and self.chance(0.5) else self.printed_file()
        title = rng.choice(sorted(file["zones"]))
        chart = {"kind": rng.choice(("regions", "pairs")), **file["about"]}
        if not file["may_leave_out"] or self.chance(0.6):
            chart["column"] = rng.choice((title, title.upper(), title.replace("  ", " ").lower(), title.replace(" ", "  ")))
        if chart["kind"] == "regions":
            chart.update({} if file["country"] is None else {"country": file["country"]})
        else:
            chart["origin"] = {"US": rng.choice((["US:05"], ["US:054-056"], ["US"], ["US:0510", "US:054"])), "GB": ["GB:PA", "GB:EC1"],
                               None: ["US:05", rng.choice(("CA", "DE:10"))]}[file["country"]]
            if self.list_names and file["country"] is not None and self.chance(0.3):
                chart.update({"origin": ["@" + rng.choice(self.list_names)], "country": file["country"]})
            elif file["country"] is not None and self.chance(0.3):
                chart.update({"country": file["country"]})
            if file["country"] == "GB" and self.chance(0.8):
                chart.update({"origin": ["US"], "country": "GB"})
        return chart, file["zones"][title]

    # -- A3.2

    def lists(self):
        """A document's lists of areas, two of them of one file."""
        rng = self.rng
        if not self.chance(self.share["lists"]):
            return {}
        name, tiers = f"{self.start}-areas.csv", ("Remote", "Extended", "Far off")
        lines = [[rng.choice(("Areas in force", "ZIP Tier"))], []][:rng.choice((0, 1, 2))] + [["State", "Tier", "ZIP"]]
        codes = ("054", "05401", "051-053", "98101", "969", "00601-00899", "0", "965-968", "059")
        for i, code in enumerate(rng.sample(codes, rng.randint(3, len(codes)))):
            lines.append(["", tiers[i] if i < 3 else rng.choice(tiers) + rng.choice(("", " ")), self.dashes(code)])
        if self.chance(0.3):
            lines.append(["XX", rng.choice(tiers), rng.choice(("-", "—", "--"))])
        self.files[name] = lines

        def of_file():
            entry = {"csv": name, "country": "US", "column": rng.choice(("ZIP", "zip"))}
            if self.chance(0.8):
                chosen = rng.sample(tiers, rng.randint(1, 2))
                entry["where"] = {"Tier": chosen if len(chosen) > 1 or self.chance(0.5) else chosen[0]}
            return entry

        lists = {"far": of_file(), "isles": rng.sample(LISTS, rng.randint(1, 4)), "near": rng.choice((of_file(), ["US:05"], ["US:054", "US:05", "GB:PA"]))}
        lists = {key: lists[key] for key in rng.sample(sorted(lists), rng.randint(1, 3))}
        self.list_names = sorted(lists)
        return lists

    def chart_of_lists(self):
        """A chart that names lists, and its zones; no zone beside a list holds areas as exact as the list's."""
        rng, name = self.rng, "@" + self.rng.choice(self.list_names)
        if self.chance(0.5):
            return {"kind": "regions", "zones": {"R": [name], **({"2": ["US", "CA", "GB"]} if self.chance(0.6) else {})}}, ["R", "2"]
        chart = {"kind": "pairs", "from": {name: {"1": ["US", "CA"], "R": ["@" + rng.choice(self.list_names)]}}}
        if self.chance(0.5):
            chart["from"]["US"] = {"3": [name], "2": ["US", "GB"]}
        return chart, ["1", "R", "2", "3"]

    # -- A4.9

    def dated_series(self):
        """A document's series; what may name them is remembered."""
        rng, series = self.rng, {}
        if not self.chance(self.share["series"]):
            return series
        percents = rng.choice((["road"], ["road", "air"]))
        series["fuel"] = self.one_series("fuel", percents, lambda: rng.choice((9.5, 11.4, 0, "12.25", "16.6667 %", "5%", 33.3333)))
        tolls = ["toll"] if self.chance(0.7) else ["toll", "long haul"]
        series["toll"] = self.one_series("toll", tolls, lambda: rng.choice((0, 1, "2.5", 0.995, "4.000005", 12)))
        series["diesel"] = self.one_series("diesel", ["usd"], lambda: rng.choice(("3.1", "3.20", 3.38, "3.379999", "3.5", 4)))
        for kind, code, columns in (("percent", "fuel", percents), ("amount", "toll", tolls)):
            self.dated_values[kind] += [{"series": code, **({"column": column} if len(columns) > 1 or self.chance(0.7) else {})} for column in columns]
        for kind, values in (("percent", (8, "10.5", "12.75 %", 0)), ("amount", (0.5, "1.25", 3, "0.001"))):
            steps = [[index, rng.choice(values)] for index in rng.sample(("0", "3.10", 3.25, "3.40", 4.5), rng.randint(1, 5))]
            steps.sort(key=lambda step: float(step[0]))
            if self.chance(0.5):
                steps[0][0] = 0
            if self.chance(0.4):
                name = f"{self.start}-steps-{kind}.csv"
                self.files[name], steps = [["index", kind]] + steps, {"csv": name}
            self.dated_values[kind].append({"series": "diesel", rng.choice(("at_least", "over")): steps})
        return series

    def one_series(self, code, columns, value):
        rng, rows = self.rng, []
        first = rng.choice((0, 0, 0, 3))
        days = [day for i, day in enumerate(FIRST_DAYS) if i == first or i > first and self.chance(0.35)]
        untils = self.chance(0.4)
        for day, following in zip(days, days[1:] + ["2027-06-01"]):
            until = []
            if untils:
                year, month, number = following.split("-")  # the day before it or earlier; not before this one
                ends = max(day, rng.choice((f"{year}-{month}-{int(number) - 1:02}" if int(number) > 1 else day, day)))
                until = [ends if ends < following and self.chance(0.3) else None]
            rows.append([day] + until + [None if self.chance(0.06) else value() for _ in columns])
        columns = ["until"] * untils + columns
        series = {"columns": columns, "rows": rows}
        if self.chance(0.6):
            name = f"{self.start}-series-{code}.csv"
            self.files[name] = [["from"] + columns] + [["" if cell is None else cell for cell in row] for row in rows]
            series = {"csv": name}
        if self.chance(0.8):
            series["good_for"] = rng.choice(("1 day", "2 days", "4 days", "5 days", "7 days", "7 days", "30 days", "3660 days"))
        return series

    def dated(self, kind, otherwise):
        """An amount or a percent, or one that changes by date in its place."""
        if self.dated_values[kind] and self.chance(0.65):
            return dict(self.rng.choice(self.dated_values[kind]))
        return otherwise

    # -- A4.5

    def joined(self, columns):
        """Columns of which two or three may be one."""
        rng, columns = self.rng, list(columns)
        if len(columns) > 1 and self.chance(self.share["joined"]):
            count = min(len(columns), rng.choice((2, 2, 3)))
            at = rng.randint(0, len(columns) - count)
            columns[at:at + count] = [rng.choice((" & ", "&", ", ", ",")).join(columns[at:at + count])]
        return columns

    def turned(self, columns, rows, least):
        """A grid's lines with rows and columns changed, as a file has them."""
        lines = [["zone"] + [row[0] for row in rows] + (["least"] if least else [])]
        for number, column in enumerate(columns):
            cells = [row[number + 1] for row in rows] + ([least[number]] if least else [])
            lines.append([column] + ["" if cell is None else cell for cell in cells])
        return lines

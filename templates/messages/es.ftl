# Las palabras de los reportes, en español (neutro, de América Latina). El formato es Fluent: https://projectfluent.org
# Para cambiar alguna, copie este archivo a messages/es.ftl en la carpeta de plantillas y cambie lo que
# está después de cada signo igual. Lo que va entre llaves lo pone rimebook. Un mensaje que falte en la
# copia se toma de este archivo.

## Días

date-day-month = { $day } de { $month } de { $year }
date-month-day = { $month } { $day } de { $year }
month-1 = enero
month-2 = febrero
month-3 = marzo
month-4 = abril
month-5 = mayo
month-6 = junio
month-7 = julio
month-8 = agosto
month-9 = septiembre
month-10 = octubre
month-11 = noviembre
month-12 = diciembre

## Lo que falta

not-recorded = sin registro
not-measured = no medido
not-stated = En este reporte no se indica.
not-stated-short = sin indicar
not-named = Sin identificar
not-named-short = sin identificar
not-known = se desconoce
not-known-because = se desconoce: { $why }
none-recorded = ninguna registrada
date-not-recorded = fecha sin registrar
unit-not-named = Equipo sin identificar

## Nombres de los reportes y del encabezado de cada uno

report-customer = Reporte de servicio
report-diagnosis = Nota de diagnóstico
report-office = Hoja para la oficina
heading-job = Trabajo { $job }
fact-customer = Cliente
fact-site = Ubicación
fact-contact = Contacto
fact-job = Trabajo
fact-order = Su orden
fact-order-number = Número de orden
fact-model = Modelo
fact-serial = No. de serie
fact-visits = { $count ->
    [one] Visita
   *[other] Visitas
}
fact-technicians = { $count ->
    [one] Técnico
   *[other] Técnicos
}
count-visits = { $count ->
    [one] { $count } visita
   *[other] { $count } visitas
}
in-short = En resumen
line-number = línea { $line }
page-of = Página { $page } de { $pages }
since = desde: { $when }
given-on = fecha de la recomendación: { $when }
value-at = { $value } ({ $at })

## Cliente: la primera pantalla

ask-wrong = ¿Qué fallaba?
ask-fixed = ¿Quedó reparado?
ask-food = Sus alimentos
ask-again = ¿Volverá a pasar?
ask-waiting = ¿Qué pasa si se espera?
ask-next = ¿Quién viene después?
ask-decide = Qué hay que decidir
you-reported = Usted nos reportó: { $text }
cause-not-stated = En este reporte no se indica la causa.
outcome-repaired = Reparado, con lecturas tomadas después de la reparación.
outcome-watch = Reparado; todavía hay que vigilarlo.
outcome-unproved = Reparado; todavía sin comprobar con lecturas.
outcome-not-repaired = Revisado; no hay ninguna reparación registrada.
because-readings = Las lecturas posteriores a la reparación están en la tabla de abajo.
because-not-measured = No se midió el efecto de la reparación antes de retirarnos.
because-above-setting = En la última lectura, la temperatura todavía estaba por encima de la programada.
because-food-above = La última vez que se midieron, los alimentos todavía estaban por encima del límite de su plan.
because-still-off = Una lectura posterior a la reparación todavía estaba fuera de su rango usual.
because-test-failed = En una prueba, la tubería no mantuvo la presión o el vacío.
because-temporary = Algo quedó todavía de manera provisional; vea más abajo.
because-locked = El equipo, o una parte de él, sigue bloqueado con candado; vea más abajo.
food-last = Última medición: { $value }
food-last-at = Última medición: { $value }, { $at }
food-last-of = { $which }: última medición, { $value }
food-last-of-at = { $which }: última medición, { $value }, { $at }
food-limit = El límite de su plan es { $limit }
food-not-measured = No se midió la temperatura de los alimentos.
food-not-measured-box = No se midió la temperatura de los alimentos; la última lectura del aire fue de { $value }.
food-yours-to-decide = Decidir si los alimentos se pueden conservar les corresponde a su plan escrito y a la persona a cargo.
watch-for = Hay que vigilar: { $text }
nothing-open = No hay ninguna recomendación pendiente.
nothing-recommended = En este reporte no se recomienda nada.
all-declined = Se decidió no hacer lo que se recomendó; vea más abajo.
if-nothing-done = Si no se hace nada: { $text }
if-nothing-done-not-stated = No se indica qué pasa si no se hace nada.
urgency-now = Ahora
urgency-soon = Pronto
urgency-later = Más adelante
urgency-unstated = Sin fecha indicada

food-above-one = no en la única lectura
against-within-limit = dentro del límite
against-above-limit = por encima del límite
outcome-locked = Quedó bloqueado con candado; no hay ninguna reparación registrada.
waiting-of = { $what }: { $text }
if-nothing-done-heading = Si no se hace
nothing-to-decide = En este reporte no se recomienda nada.
more-to-decide = { $count ->
    [one] y una más; vea más abajo
   *[other] y { $count } más; vea más abajo
}
line-list = líneas { $lines }
note-gap = La franja gris queda entre visitas.
note-open-cycle = La compresión no se dibuja donde no se leyó la temperatura de la línea de descarga.
note-no-before = Antes de la reparación hubo muy pocas lecturas para un ciclo.

## Cliente: lo demás

please-note = Tenga en cuenta
left-for-now = Quedó así por el momento y hay que restablecerlo: { $text }
locked-out-of = Bloqueo con candado: { $what }
caution-flammable = Este equipo contiene un refrigerante inflamable ({ $name }, clase { $class }). Mantenga lejos de él las llamas y las chispas, no tape sus aberturas de aire y permita que lo abran solo personas capacitadas y con licencia para hacerlo, según lo exijan las normas locales.
what-we-found = Lo que encontramos
what-we-did = Lo que hicimos
done-fitted = instalamos { $what }
done-removed = retiramos { $what }
done-charged = cargamos { $amount } de { $what }
done-recovered = recuperamos { $amount } de { $what }
refrigerant = refrigerante
test-held = mantuvo la presión
test-failed = no mantuvo la presión
test-not-recorded = el resultado no está registrado
hold = prueba de presión de la tubería: { $result }
hold-for = prueba de presión de la tubería durante { $time }: { $result }
vacuum-held = hicimos vacío al sistema antes de cargarlo: el vacío se mantuvo
vacuum-failed = hicimos vacío al sistema antes de cargarlo: el vacío no se mantuvo
vacuum-not-recorded = hicimos vacío al sistema antes de cargarlo: no está registrado si el vacío se mantuvo
what-we-measured = Lo que medimos
column-where = Punto de medición
column-before = Antes de la reparación
column-after = Después de la reparación
column-measured = Medido
column-usual = Usual
usual-not-stated = sin indicar
against-above = por encima de lo usual
against-below = por debajo de lo usual
against-within = dentro de lo usual
band-between = de { $low } a { $high }
band-at-most = { $high } como máximo
band-at-least = { $low } como mínimo
set-point-is = Temperatura programada del equipo: { $value }.
usual-basis = Usual: cerca de la temperatura programada del equipo, según el límite de su plan o según la placa de datos del equipo; donde no se indica otra cosa, la práctica común.
leg = fase { $number }
food-heading = Los alimentos y el límite de su plan
what-we-told = Lo que informamos en el sitio
told = informamos: { $what }
agreed-by = aceptado: { $what }
declined-by = se decidió no hacerlo: { $what }
taken-up = Recomendado antes; después ya se trabajó en ello
before-work = antes del trabajo de esta fecha: { $when }
worked-on = vea el trabajo que se hizo después: { $when }
what-you-agreed = Lo que usted aceptó
what-you-declined = Lo que usted decidió no hacer
time-and-material = Tiempo y materiales
column-visit = Visita
column-technician = Técnico
column-time-on-site = Tiempo en el sitio
parts-fitted = Piezas instaladas
materials = Materiales
refrigerant-heading = Refrigerante
amount-recovered = recuperamos { $amount }
amount-charged = cargamos { $amount }
photos-taken = Fotos tomadas
photos = Fotos
job-and-unit = Trabajo y equipo
sign-received = Recibido en nombre del cliente: nombre y firma
sign-approved = Trabajo recomendado más arriba: aprobado / no aprobado
sign-date = Fecha
questions-to = Preguntas sobre este reporte
licence-number = Licencia { $number }
customer-foot = Este reporte presenta lo que se vio y se midió durante la visita. No es una declaración de que los alimentos, un local o un sistema sean seguros; eso lo deciden los códigos locales y las personas responsables en el sitio.

## Alimentos frente al límite de un plan

food-column-measured = Qué se midió
food-column-above = Tiempo por encima de { $limit } según lo medido
food-column-above-short = Por encima de { $limit }
food-column-gaps = No medido
food-column-highest = Lectura más alta
food-nothing-timed = No se midió ninguna temperatura de los alimentos ni del interior del equipo con su hora.
food-plan = Control por tiempo del plan: { $hours }.
food-counted = Cómo se contó: { $basis }.
food-counted-plain = El tiempo se cuenta solo entre lecturas de una misma visita con 60 minutos o menos entre una y otra; el resto no se midió.
food-who-decides = Decidir qué se hace con los alimentos les corresponde al plan escrito y a la persona a cargo; consulte el código de alimentos vigente y a su autoridad local.
food-basis = entre dos lecturas de una misma visita con 60 min o menos entre ellas se toma la temperatura como una línea recta de una a la otra; los lapsos más largos y los que hay entre visitas no están medidos (60 min: práctica común, sin fuente)
food-measured = Alimentos
food-air = Aire dentro del equipo, no alimentos
food-above-none = ninguno
food-above-unknown = no se sabe (no hay dos lecturas lo bastante cercanas)
food-above-least = al menos { $time }
food-gap = { $from } a { $to }
food-gaps = no medido: { $spans }
food-highest = lectura más alta: { $reading }
food-time-above = tiempo por encima de { $limit } según lo medido: { $time }
food-straight = { $time } de ese tiempo por línea recta entre una lectura por encima del límite y otra que no lo está
food-before-unknown = no se sabe la temperatura antes de { $at }
food-still-above = todavía por encima en la última lectura, { $at }
food-untimed = { $count ->
    [one] { $count } lectura sin hora, que no se contó
   *[other] { $count } lecturas sin hora, que no se contaron
}
food-plan-between = fin de las { $hours } h de control por tiempo: lo más pronto, { $earliest } (a partir de { $below }, la última lectura que no estaba por encima de { $limit }); lo más tarde, { $latest } (a partir de { $first }, la primera lectura por encima de { $limit })
food-plan-latest = no se sabe desde cuándo estaba por encima de { $limit }; fin de las { $hours } h de control por tiempo: lo más tarde, { $latest } (a partir de { $first }, la primera lectura por encima de { $limit })
food-plan-stands = { $span }; en la última lectura, { $at }, { $stands }
food-plan-ended = esas horas ya habían terminado
food-plan-perhaps = es posible que esas horas ya hubieran terminado
food-plan-not-ended = esas horas todavía no habían terminado
food-plan-unknown = no se sabe si esas horas ya habían terminado
food-ceiling-after = se pasó de 70 F (21 C) en la lectura de { $at } ({ $value }) o antes, después de { $below }
food-ceiling-first = se pasó de 70 F (21 C) en la primera lectura, { $at } ({ $value }), o antes

## Gráficas

chart-temperatures = Temperaturas
chart-pipes = Temperaturas de tubería
chart-suction = Presión de succión
chart-discharge = Presión de descarga
chart-vacuum = Vacío
chart-balance = Movimiento de refrigerante
chart-cycle = Ciclo en el diagrama presión–entalpía de { $refrigerant }
level-set-point = temp. programada { $value }
level-food-limit = límite del plan { $value }
level-vacuum = límite usual { $value }
series-vacuum = Vacío
series-dome = Saturación
event-repair = reparación
event-defrost = deshielo
event-door-open = puerta abierta
event-door-closed = puerta cerrada
event-alarm = alarma
event-alarm-silenced = alarma silenciada
event-isolated = bomba de vacío aislada, { $at }
events = En la gráfica
alternative-series = { $name }: { $first }, { $last }; entre { $low } y { $high } en { $count } lecturas
alternative-vacuum = Vacío: { $readings }
axis-enthalpy = entalpía, { $unit }
axis-gauge = { $unit } (manométrica)
axis-pressure = { $unit }
cycle-before = Antes de la reparación
cycle-after = Después de la reparación
cycle-measured = Como se midió
isotherm-legend = Las líneas delgadas unen estados a una misma temperatura, en { $unit }; la línea gruesa es el borde de la campana de saturación.
bar-full = Carga completa
bar-recovered = Recuperado
bar-added = Agregado
bar-net = Neto al equipo

## Nota de diagnóstico

charts = En gráficas
repair-did = Reparación: { $text }
column-lines = Líneas
column-line = Línea
enthalpy-reference = La entalpía se cuenta con el líquido saturado a 0 C en 200 kJ/kg (86.0 Btu/lb); solo las diferencias tienen sentido.
test-hold = Prueba de presión, { $text }
test-vacuum = Vacío, { $text }
line-range = líneas { $from }–{ $to }
column-first-before = Primera antes de la reparación
column-last = Última
column-last-after = Última después de la reparación

complaint = Falla reportada
cause-as-stated = Causa según el técnico
still-open = Queda pendiente
nothing-left-open = En esta nota no queda nada pendiente.
cautions-for-work = Precauciones para el trabajo
codes-first = Primero están los códigos locales y la práctica de técnicos con licencia.
findings = Hallazgos
column-finding = Hallazgo
column-evidence = Evidencia
column-rule = Regla
no-rule-fired = Ninguna regla se activó con lo que se midió. Vea más abajo lo que no se pudo evaluar.
causes-heading = Causas, { $when }
causes-as-found = como se encontró
causes-after-repair = después de la última reparación
causes-standing = La conclusión del propio técnico está por encima de esto: aquí solo se ordenan las causas según concuerdan con las lecturas de un momento.
column-cause = Causa
column-fit = Concordancia
column-for = A favor
column-against = En contra
column-not-measured = No medido
rests-on-alone = se basa solo en { $what }
ruled-out = Descartado
next-reading = Próxima lectura que conviene tomar
next-takes = { $what }, aprox. { $minutes } min
compared = Lo que se comparó
contradictions = Lo que no concuerda entre sí
values = Lo que dicen las lecturas
column-value = Valor
column-result = Resultado
column-when = Cuándo
column-from = Se obtiene de
how-computed = Cómo se calculó cada valor
assumed = Se supuso: { $text }
side-before = antes de la reparación
side-during = durante la reparación
side-after = después de la reparación
cycle-heading = Ciclo de refrigeración
column-state = Estado
column-pressure = Presión
column-temperature = Temperatura
column-enthalpy = Entalpía
column-density = Densidad
column-region = Región
refused = No se da: { $what }, { $why }
not-derived = No se pudo calcular
tests = Pruebas de presión y vacío
readings-heading = Lecturas
column-point = Punto
unit-heading = El equipo
unit-contents = Contiene
unit-access = Acceso
unit-refrigerant = Refrigerante
unit-refrigerant-data = Datos del refrigerante
unit-refrigerant-estimated = estimados: { $text }
unit-safety = Clase de seguridad, GWP
unit-gwp = { $class }, { $gwp } (AR4)
unit-gwp-unknown = { $class }, se desconoce el GWP
unit-charge = Carga completa
unit-metering = Dispositivo de expansión
unit-nameplate = Placa de datos
unit-set-point = Punto de ajuste
unit-design-td = TD de diseño
unit-target-superheat = Sobrecalentamiento objetivo
unit-target-subcooling = Subenfriamiento objetivo
unit-atmosphere = Presión atmosférica
instruments-used = Instrumentos usados
log-of = Bitácora: { $date }
column-time = Hora
column-kind = Tipo
column-entry = Anotación
recommended = Recomendado
not-evaluated = No evaluado
not-evaluated-means = Esto no se pudo evaluar con lo que se midió; no es señal de que todo esté bien.
needs = { $rule }: requiere { $what }
lines-not-used = Líneas que no se usaron
doubts-heading = Dudas sobre lo escrito
diagnosis-foot = Solo para técnicos; contiene anotaciones privadas. Datos de saturación ajustados a CoolProp 8.0.0. Los valores orientan; no sustituyen los datos del fabricante, los códigos locales ni el criterio de un técnico con licencia.
stated-none = no indicada

## Índice de una carpeta, página de un equipo

report-index = Reportes
report-unit = Equipo
chart-history = A lo largo de los años
strip-jobs = Trabajos
strip-parts = Partes instaladas
strip-added = Refrigerante cargado
index-count = { $count ->
    [one] { $count } reporte
   *[other] { $count } reportes
}
site-not-named = Ubicación sin identificar
state-repaired = reparado
state-watch = reparado, por vigilar
state-unproved = reparado, todavía sin comprobar
state-not-repaired = revisado
still-open-count = { $count ->
    [one] { $count } pendiente sin cerrar
   *[other] { $count } pendientes sin cerrar
}
note-has-errors = la nota tiene errores
back-to-index = Todos los reportes
reports-of-unit = Reportes
to-know = Para tener en cuenta
not-in-tables = Lo que no está en estas tablas
history-heading = Historial del equipo
internal-foot = De uso interno: nombra a todos los clientes y lo que se anotó para los registros.

## Hoja para la oficina

not-counted = No se contó: pregunte al técnico
hours = Horas
column-arrive = Llegada
column-depart = Salida
column-on-site = En el sitio
column-travel = Traslado
column-waiting = Espera
no-visit = ninguna visita registrada
sum-recorded = Total de lo registrado
incomplete = incompleto
waiting-within = La espera ya está incluida en el tiempo en el sitio.
by-technician = Por técnico
sum-of = Total: { $name }
parts = Piezas
column-part = Pieza
column-count = Cantidad
column-part-number = No. de parte
column-way = Instalada o retirada
way-fitted = instalada
way-removed = retirada
no-refrigerant = no se movió refrigerante
column-movement = Movimiento
column-amount = Cantidad
column-kg = kg
column-refrigerant = Refrigerante
column-cylinder = Cilindro
column-balance = Saldo
flow-added = agregado
flow-recovered = recuperado
scale = báscula: { $text }
by-cylinder = Por cilindro
column-taken = Salió del cilindro
column-filled = Entró al cilindro
column-holds = Contenido después
by-circuit = Por circuito
column-circuit = Circuito
column-added = Agregado
column-recovered = Recuperado
column-net = Neto
balance = Balance
balance-added = Agregado al equipo
balance-recovered = Recuperado del equipo
balance-net = Neto al equipo
balance-share = { $share } de la carga completa
balance-charge = Carga después del último movimiento
balance-loss = Pérdida neta
balance-co2e = CO2e de la cantidad neta, con base en { $basis }.
share-not-known = se desconoce el porcentaje: el encabezado no da la carga completa
share-of-charge = { $percent } % de la carga completa
charge-weighed-in = { $amount }, { $share }, cargado por peso desde el último vacío
loss-first-charge = ninguna: es una primera carga
loss-none = ninguna según estos movimientos
loss = { $amount } (agregado menos recuperado)
loss-perhaps-first = { $amount } (agregado menos recuperado), a menos que haya sido una primera carga
food-office = Los alimentos y el límite del plan
duties-heading = Obligaciones por el refrigerante: { $jurisdiction }
leak-rate = Tasa de fuga (40 CFR 82.152), solo con base en esta nota: { $rates }.
column-what = Qué
column-due = Vence
column-done = Hecho
column-because = Motivo
recovered-not-noted = línea { $line }: no se anotó hasta qué presión se recuperó
recovered-level-unknown = línea { $line }: se recuperó hasta { $level }; no se sabe qué nivel se exige
recovered-reaches = línea { $line }: se recuperó hasta { $level }, con lo que se alcanza { $asked }
recovered-short = línea { $line }: se recuperó hasta { $level }, con lo que no se alcanza { $asked }
rate-not-known = se desconoce; el día de la carga anterior no está en esta nota
rate-on = { $day }: anualizada { $annualizing }; móvil { $rolling }
no-duty = de esta nota no resulta ninguna obligación
no-day-set = sin fecha fijada
not-shown-done = no consta como hecho
tables-as-of = Tablas según su revisión del { $day }. { $caution }
other-notes-in = Lo agregado en otras notas está en
follow-up = Para dar seguimiento
no-recommendation = ninguna recomendación registrada
booked-heading = Programado
approved-heading = Aprobado por el cliente
declined-heading = Rechazado por el cliente
photos-to-file = Fotos por archivar
photo-missing = { $file }: no existe esa imagen junto a la nota
office-foot = Uso interno. Las cantidades están como se escribieron en la nota de trabajo; los kilogramos son su conversión exacta.

## Puntos de medición, en palabras sencillas

point-suction = presión del lado de baja
point-discharge = presión del lado de alta
point-liquid-pressure = presión de la línea de líquido
point-oil-pressure = presión de aceite
point-static-pressure = presión en el ducto
point-suction-line = temperatura de la tubería del lado de baja
point-compressor-inlet = temperatura de la tubería en el compresor
point-discharge-line = temperatura de la tubería de gas caliente
point-condenser-outlet = temperatura de la tubería después del condensador
point-liquid-line = temperatura de la tubería de líquido
point-after-drier = temperatura de la tubería de líquido después del filtro
point-box = temperatura interior del equipo
point-display = temperatura en la pantalla
point-product = temperatura del producto
point-return-air = aire que entra al serpentín
point-supply-air = aire que sale del serpentín
point-room = temperatura del local
point-return-wet-bulb = temperatura de bulbo húmedo en el retorno
point-supply-wet-bulb = temperatura de bulbo húmedo en el suministro
point-ambient-wet-bulb = temperatura de bulbo húmedo en el exterior
point-return-humidity = humedad del aire que entra al serpentín
point-supply-humidity = humedad del aire que sale del serpentín
point-room-humidity = humedad del local
point-ambient-humidity = humedad en el exterior
point-airflow = aire que pasa por el serpentín
point-ambient = aire alrededor del condensador
point-condenser-air-out = aire que sale del condensador
point-coil-temperature = temperatura del serpentín
point-compressor-shell = temperatura del cuerpo del compresor
point-sump = temperatura del aceite del compresor
point-set-point = temperatura programada
point-high-alarm = límite de la alarma por temperatura alta
point-superheat = sobrecalentamiento
point-subcooling = subenfriamiento
point-l1-l2 = voltaje de alimentación
point-l2-l3 = voltaje de alimentación
point-l1-l3 = voltaje de alimentación
point-t1-t2 = voltaje en la carga
point-t2-t3 = voltaje en la carga
point-t1-t3 = voltaje en la carga
point-supply-voltage = voltaje de alimentación
point-control-voltage = voltaje de control
point-coil-voltage = voltaje en la bobina del contactor
point-coil-resistance = resistencia de la bobina del contactor
point-contact-drop = caída de voltaje en un contacto
point-switch-voltage = voltaje entre terminales de un interruptor
point-safety-in = voltaje de control antes del dispositivo de seguridad
point-safety-out = voltaje de control después del dispositivo de seguridad
point-compressor-voltage = voltaje en el compresor
point-heater-voltage = voltaje en el calefactor
point-evap-fan-voltage = voltaje en el ventilador interior
point-condenser-fan-voltage = voltaje en el ventilador del condensador
point-compressor-current = corriente del compresor
point-heater-current = corriente del calefactor
point-evap-fan-current = corriente del ventilador interior
point-condenser-fan-current = corriente del ventilador del condensador
point-total-current = corriente total
point-heater-power = potencia del calefactor
point-heater-resistance = resistencia eléctrica del calefactor
point-winding-c-r = resistencia del devanado del motor
point-winding-c-s = resistencia del devanado del motor
point-winding-r-s = resistencia del devanado del motor
point-insulation = resistencia de aislamiento
point-run-capacitor = capacitor de marcha del motor
point-start-capacitor = capacitor de arranque
point-compressor = compresor
point-evap-fan = ventilador interior
point-condenser-fan = ventilador del condensador
point-heater = calefactor de deshielo
point-defrost = deshielo
point-cooling = enfriamiento
point-sight-glass = mirilla
point-contactor = contactor
point-coil = serpentín del evaporador
point-condenser-coil = serpentín del condensador
point-door = puerta
point-alarm = alarma
point-drain = drenaje
point-high-pressure-switch = protección por alta presión
point-low-pressure-switch = protección por baja presión
point-overload = protección de sobrecarga del motor
point-common-to-run = devanado del motor
point-common-to-start = devanado del motor
point-run-to-start = devanado del motor

## Lo que algunas reglas dicen al cliente

plain-RB351 = Cuando nos retiramos, la temperatura todavía no había bajado hasta la programada.
caution-RB351 = Decidir si los alimentos todavía se pueden usar le corresponde a la persona responsable de ellos, según el código de alimentos local.
plain-RB352 = Se midió producto a más de 41 F (5 C). Por favor, pida a la persona responsable de los alimentos que decida qué hacer con él.
caution-RB352 = Decidir si los alimentos todavía se pueden usar le corresponde a la persona responsable de ellos, según el código de alimentos local.
plain-RB951 = Se midieron alimentos con una temperatura por encima del límite de su plan. Por favor, pida a la persona a cargo que decida, según ese plan, qué hacer con ellos.
caution-RB951 = Decidir qué se hace con los alimentos les corresponde al plan escrito del establecimiento y a la persona a cargo; consulte el texto vigente del código de alimentos y a su autoridad local.
plain-RB952 = La temperatura que se midió en el aire alrededor de los alimentos estaba por encima del límite de su plan; esa no es la temperatura de los alimentos.
caution-RB952 = Decidir qué se hace con los alimentos les corresponde al plan escrito del establecimiento y a la persona a cargo; consulte el texto vigente del código de alimentos y a su autoridad local.
plain-RB954 = Las horas de su plan de control por tiempo de los alimentos están corriendo o ya se cumplieron. El plan escrito y la persona a cargo deciden lo que sigue.
caution-RB954 = Decidir qué se hace con los alimentos les corresponde al plan escrito del establecimiento y a la persona a cargo; consulte el texto vigente del código de alimentos y a su autoridad local.
plain-RB955 = Se midieron alimentos a más de 70 F (21 C), lo máximo que permite un plan de seis horas. El plan escrito y la persona a cargo deciden lo que sigue.
caution-RB955 = Decidir qué se hace con los alimentos les corresponde al plan escrito del establecimiento y a la persona a cargo; consulte el texto vigente del código de alimentos y a su autoridad local.
plain-RB602 = Según lo registrado, sigue puesto un candado de bloqueo de energía.
caution-RB602 = Un candado de bloqueo lo quita solo la persona que lo puso, una vez que todos se hayan alejado (OSHA 29 CFR 1910.147; su código local).

## Tablas del historial de un equipo

history-jobs = Trabajos
history-parts = Partes
history-refrigerant = Refrigerante en doce meses
history-readings = Lecturas, la primera y la última de cada trabajo
history-date = fecha
history-job = trabajo
history-technicians = técnicos
history-complaint = falla reportada
history-cause = causa indicada
history-net_kg = refrigerante neto
history-refrigerant-net_kg = neto
history-file = archivo
history-way = entró o salió
history-count = cantidad
history-part = parte
history-number = número
history-line = línea
history-from = desde
history-to = hasta
history-added_kg = cargado
history-recovered_kg = recuperado
